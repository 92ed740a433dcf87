package tongue

// boardHand is what Log, Buy and Today say of what is tapped and typed: deliveries, lots, what came short, the invoice.
var boardHand = Sentences{
	// Log
	{"Another item", "Otro producto", "换一项"},
	{"%[1]s more to come today", "%[1]s más por llegar hoy", "今天还有%[1]s项要到"},
	{"%[1]s from %[2]s", "%[1]s del %[2]s", "%[2]s的%[1]s"},
	{"%[1]s, use by %[2]s", "%[1]s, usar a más tardar el %[2]s", "%[1]s，最迟%[2]s用完"},
	{"No service has begun today: this is for %[1]s of %[2]s.", "Hoy no ha empezado ningún servicio: esto es para %[1]s del %[2]s.", "今天还没有开餐：这是记在%[2]s%[1]s的。"},
	{"Scan with the camera", "Leer con la cámara", "用相机扫描"},

	// Buy
	{"1 trifle for the dry store: %[2]s", "1 menudencia para la despensa: %[2]s", "干货零星1项：%[2]s"},
	{"%[1]s trifles for the dry store: %[2]s", "%[1]s menudencias para la despensa: %[2]s", "干货零星%[1]s项：%[2]s"},
	{"%[1]s and %[2]s more", "%[1]s y %[2]s más", "%[1]s，另 %[2]s 项"},
	{"Less came: that is all", "Llegó menos: es todo", "来少了：只有这些"},
	{"Something else instead", "Otra cosa en su lugar", "用别的代替"},
	{"%[1]s, in %[2]s", "%[1]s, en %[2]s", "%[1]s，用于%[2]s"},
	{"Allergens it brings: %[1]s.", "Alérgenos que trae: %[1]s.", "会带来的过敏原：%[1]s。"},
	{"No allergen more, by the kitchen file.", "Ningún alérgeno más, según el archivo de la cocina.", "按厨房文件，没有多出的过敏原。"},
	{"Took %[1]s instead", "Se tomó %[1]s en su lugar", "已改用%[1]s"},
	{"Check the label of what you take, and your local rules: this knows only what the kitchen file states.", "Revisa la etiqueta de lo que tomas y las normas locales: aquí solo se sabe lo que declara el archivo de la cocina.", "请查看所用物品的标签和当地规定：这里只知道厨房文件里写的。"},
	{"Scale says, %[1]s", "La báscula dice, %[1]s", "秤上读数，%[1]s"},
	{"Price per %[1]s", "Precio por %[1]s", "每%[1]s价格"},
	{"Price of one", "Precio de uno", "单价"},
	{"Count", "Cantidad", "数量"},
	{"Count, %[1]s", "Cantidad, %[1]s", "数量，%[1]s"},
	{"Invoice total, %[1]s", "Total de la factura, %[1]s", "发票总额，%[1]s"},
	{"Compare", "Comparar", "核对"},
	{"with the invoice of %[1]s", "con la factura de %[1]s", "%[1]s的发票"},
	{"The invoice says the same as what is written down.", "La factura dice lo mismo que lo anotado.", "发票与记下的一致。"},
	{"The invoice is %[1]s above what is written down.", "La factura está %[1]s por encima de lo anotado.", "发票比记下的多%[1]s。"},
	{"The invoice is %[1]s below what is written down.", "La factura está %[1]s por debajo de lo anotado.", "发票比记下的少%[1]s。"},
	{"Look for a line that was not weighed, or for another price.", "Busque una línea sin pesar u otro precio.", "看看是不是有一行没有过秤，或者价格不同。"},

	// what can be done
	{"What it brings and takes", "Qué trae y qué pide", "带来什么，需要什么"},
	{"Say it at the pass: there is nothing to write down for it.", "Dígalo en el pase: no hay nada que anotar.", "在出菜口说一声：没有要记的。"},
	{"Decided, and kept with the plan.", "Decidido y guardado con el plan.", "已决定，随计划保存。"},
}

// answersLimits tell on Today what breaks a limit, or soon does.
var answersLimits = Sentences{
	{"Cooling broke a limit: %[1]s", "El enfriamiento pasó un límite: %[1]s", "冷却超出限度：%[1]s"},
	{"Take the temperature of %[1]s", "Tome la temperatura de: %[1]s", "请测量%[1]s的温度"},
	{"1 entry does not add up: the Log page says which", "1 anotación no cuadra: la página Anotar dice cuál", "有 1 条记录对不上：“记录”页会指出是哪条"},
	{"%[1]s entries do not add up: the Log page says which", "%[1]s anotaciones no cuadran: la página Anotar dice cuáles", "有 %[1]s 条记录对不上：“记录”页会指出是哪些"},
	{"it had to be at %[1]s by %[2]s, and no reading tells", "debía estar a %[1]s a más tardar el %[2]s, y ninguna lectura lo dice", "最迟%[2]s须到%[1]s，没有读数可以说明"},
	{"it must be at %[1]s by %[2]s", "debe estar a %[1]s a más tardar a las %[2]s", "最迟%[2]s须到%[1]s"},
	{"entry %[1]s is dated after now, so it does not count yet: was a clock wrong?", "la anotación %[1]s lleva una hora que aún no ha llegado, así que todavía no cuenta: ¿iba mal un reloj?",
		"第 %[1]s 条记录的时间晚于现在，暂不计入：是不是时钟不准？"},
	{"%[1]s entries are dated after now, so they do not count yet: %[2]s; was a clock wrong?",
		"%[1]s anotaciones llevan una hora que aún no ha llegado, así que todavía no cuentan: %[2]s; ¿iba mal un reloj?", "%[1]s 条记录的时间晚于现在，暂不计入：%[2]s；是不是时钟不准？"},
	{"the clock went back: entry %[1]s is dated later than what was logged after it, and counts before it",
		"el reloj se atrasó: la anotación %[1]s lleva una hora posterior a lo que se anotó después, y cuenta antes", "时钟曾往回拨：第 %[1]s 条记录的时间晚于在它之后记下的，仍按记录先后计入"},
	{"the clock went back: entries %[1]s are dated later than what was logged after them, and count before it",
		"el reloj se atrasó: las anotaciones %[1]s llevan una hora posterior a lo que se anotó después, y cuentan antes", "时钟曾往回拨：第 %[1]s 条记录的时间晚于在它们之后记下的，仍按记录先后计入"},
}
