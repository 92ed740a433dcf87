package tongue

// boardSheets is what the pages of sheets, of cooling and to print say, and Plan beside its own.
var boardSheets = Sentences{
	{"of one person or one station, with ticks", "de una persona o una estación, con casillas", "按人或按档口，可打勾"},
	{"People", "Personas", "人员"},
	{"Stations", "Estaciones", "档口"},
	{"There is no station \"%[1]s\"; there are: %[2]s.", "No hay ninguna estación «%[1]s»; hay: %[2]s.", "没有叫“%[1]s”的档口；有：%[2]s。"},
	{"There is nobody called \"%[1]s\"; there are: %[2]s.", "Nadie se llama «%[1]s»; hay: %[2]s.", "没有叫“%[1]s”的人；有：%[2]s。"},
	{"Nothing on this day.", "Nada este día.", "这天没有。"},
	{"Choose a person or a station.", "Elige una persona o una estación.", "请选人员或档口。"},
	{"Ticked", "Marcado", "打勾"},
	{"Ticks stay on this device. Buttons write into the log book.", "Las marcas quedan en este aparato. Los botones anotan en la bitácora.", "打勾只留在本设备。按钮会写入记录本。"},
	{"To print", "Para imprimir", "打印版"},
	{"down to %[1]s by then", "a esa hora, en %[1]s o menos", "到时降到 %[1]s"},
	{"The time is over. Read it, and write it down.", "Ya pasó la hora. Mide y anota.", "时间已过。请测温并记下。"},
	{"A reading is written down.", "Hay una lectura anotada.", "已记有读数。"},
	{"As planned; nothing is written down yet.", "Según lo planeado; aún no hay nada anotado.", "按计划；还没有记录。"},
	{"Read it", "Medir", "测温"},
	{"Ring when it is time", "Sonar a la hora", "到时响铃"},
	{"It rings.", "Sonará.", "会响铃。"},
	{"It rings only while this page is open and the device is awake: set a timer of its own too.",
		"Solo suena mientras esta página está abierta y el aparato despierto: pon también otro temporizador.", "只有本页开着、设备没休眠时才会响：请另外再设一个定时器。"},
	{"Nothing is due to be cool in the next day.", "Nada tiene que estar frío en el próximo día.", "接下来一天没有要冷却到限的。"},
	{"Readings of the last day", "Lecturas del último día", "最近一天的读数"},
	{"No temperature was written down in the last day.", "No se anotó ninguna temperatura en el último día.", "最近一天没有记下温度。"},
	{"Your local code, and the people licensed to judge, come first.", "Mandan las normas locales y las personas autorizadas para juzgar.", "以当地法规和有资格判断的人为准。"},

	// of Plan
	{"Stop, and take the best so far", "Parar y tomar lo mejor hasta ahora", "停止，用目前最好的"},
	{"Other than the standing week", "Distinto de la semana fija", "与固定周不同之处"},
	{"added", "añadido", "新增"},
}
