package tongue

// boardDays names a thing of a day.
var boardDays = Sentences{
	{"Sunday's %[1]s", "%[1]s del domingo", "星期日的%[1]s"},
	{"Monday's %[1]s", "%[1]s del lunes", "星期一的%[1]s"},
	{"Tuesday's %[1]s", "%[1]s del martes", "星期二的%[1]s"},
	{"Wednesday's %[1]s", "%[1]s del miércoles", "星期三的%[1]s"},
	{"Thursday's %[1]s", "%[1]s del jueves", "星期四的%[1]s"},
	{"Friday's %[1]s", "%[1]s del viernes", "星期五的%[1]s"},
	{"Saturday's %[1]s", "%[1]s del sábado", "星期六的%[1]s"},
}
