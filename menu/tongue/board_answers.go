package tongue

// Answers are the sentences that other packages put together in English and the board finds again by their form (see [Voice.Find]).
var Answers = Sentences{
	// days
	{"Sunday", "domingo", "星期日"},
	{"Monday", "lunes", "星期一"},
	{"Tuesday", "martes", "星期二"},
	{"Wednesday", "miércoles", "星期三"},
	{"Thursday", "jueves", "星期四"},
	{"Friday", "viernes", "星期五"},
	{"Saturday", "sábado", "星期六"},
	{"Sunday's %[1]s", "%[1]s del domingo", "星期日的%[1]s"},
	{"Monday's %[1]s", "%[1]s del lunes", "星期一的%[1]s"},
	{"Tuesday's %[1]s", "%[1]s del martes", "星期二的%[1]s"},
	{"Wednesday's %[1]s", "%[1]s del miércoles", "星期三的%[1]s"},
	{"Thursday's %[1]s", "%[1]s del jueves", "星期四的%[1]s"},
	{"Friday's %[1]s", "%[1]s del viernes", "星期五的%[1]s"},
	{"Saturday's %[1]s", "%[1]s del sábado", "星期六的%[1]s"},

	// why something runs out
	{"out of %[1]s", "se acabó: %[1]s", "%[1]s用完了"},
	{"%[1]s ran out", "se acabó: %[1]s", "%[1]s用完了"},
	{"%[1]s was lost", "se perdió: %[1]s", "%[1]s损失了"},
	{"%[1]s lost %[2]s of its %[3]s", "%[1]s: se perdieron %[2]s de %[3]s", "%[1]s的 %[3]s 损失了 %[2]s"},
	{"%[1]s is late, with no %[2]s until %[3]s", "%[1]s va con retraso: no hay %[2]s hasta el %[3]s", "%[1]s晚了，%[3]s之前没有%[2]s"},
	{"there was not enough %[1]s for %[2]s (%[3]s)", "no alcanzó %[1]s para %[2]s (%[3]s)", "%[1]s不够做%[2]s（%[3]s）"},
	{"%[1]s gave %[2]s less %[3]s than it should", "%[1]s dio %[2]s menos de %[3]s de lo debido", "%[1]s出的%[3]s比应有的少 %[2]s"},
	{"none of the %[1]s ordered for %[2]s came", "no llegó nada de lo pedido para el %[2]s: %[1]s", "为%[2]s订的%[1]s一点没到"},
	{"only %[1]s of the %[2]s ordered for %[3]s came", "de lo pedido para el %[3]s (%[2]s) solo llegó %[1]s", "为%[3]s订的%[2]s只到了 %[1]s"},
	{"all the %[1]s on hand was thrown out on %[2]s", "el %[2]s se tiró todo lo que había de %[1]s", "%[2]s把现有的%[1]s全扔了"},
	{"no %[1]s that would still keep comes in time", "no llega a tiempo %[1]s que aún se conserve", "赶得上又放得住的%[1]s一批也没有"},
	{"nothing planned brings more %[1]s", "nada de lo planeado trae más %[1]s", "计划里没有什么能带来更多%[1]s"},
	{"what it takes ran out, or earns more in another dish", "se acabó lo que lleva, o deja más en otro plato", "用料用完了，或者用在别的菜上更赚"},
	{"%[1]s, because %[2]s", "%[1]s, porque %[2]s", "%[1]s，因为%[2]s"},
	{"%[1]s of 1 batch", "%[1]s de 1 tanda", "1 批中的 %[1]s 批"},
	{"%[1]s of %[2]s batches", "%[1]s de %[2]s tandas", "%[2]s 批中的 %[1]s 批"},
	{"1 batch", "1 tanda", "1 批"},
	{"%[1]s batches", "%[1]s tandas", "%[1]s 批"},

	// trouble
	{"%[1]s portion fewer: %[2]s", "%[1]s porción menos: %[2]s", "少 %[1]s 份：%[2]s"},
	{"%[1]s portions fewer: %[2]s", "%[1]s porciones menos: %[2]s", "少 %[1]s 份：%[2]s"},
	{"%[1]s more dishes", "%[1]s platos más", "另 %[1]s 道菜"},
	{"No dish runs short by it in the next two days", "Por ello no falta ningún plato en los próximos dos días", "接下来两天没有菜因此不够卖"},
	{"Do not serve %[1]s", "No servir: %[1]s", "不可上桌：%[1]s"},
	{"its last day by the date mark was %[1]s", "su último día, según la marca de fecha, fue el %[1]s", "按日期标识，最后一天是%[1]s"},

	// what is overdue
	{"lit %[1]s", "encendido a las %[1]s", "%[1]s 点火"},
	{"%[1]s, in and out until %[2]s", "%[1]s, lo que entra y sale hasta %[2]s", "%[1]s，其后放入和取出到%[2]s为止"},
	{"%[1]s made", "%[1]s hecho", "做好%[1]s"},

	{"%[1]s begun %[2]s", "%[1]s del %[2]s", "%[2]s的%[1]s"},

	// pieces
	{"each", "piezas", "个"},
	{"a portion", "porción", "份"},
	{"portions", "porciones", "份"},

	// faults of a request
	{"nobody wrote down what is on hand", "nadie anotó lo que hay", "没有人记下现有存货"},
	{"count it on the Log page", "cuéntalo en la página Anotar", "请在“记录”页清点"},
	{"nothing was written down yet", "todavía no se ha anotado nada", "还没有任何记录"},
	{"the first entry on the Log page begins the log book", "la primera anotación en la página Anotar empieza la bitácora", "“记录”页的第一条记录就开始记录本"},
	{"nothing is said to have gone wrong", "no se dice qué salió mal", "没有说明出了什么问题"},
	{"tap \"What can be done\" beside it on Today", "toca «Qué se puede hacer» junto a ello en Hoy", "请在“今天”里点旁边的“还能怎么办”"},
	{"open the page without this change", "abre la página sin este cambio", "不带这项改动打开页面"},
	{"%[1]s changes at once: ask about at most %[2]s", "%[1]s cambios a la vez: pregunta como mucho por %[2]s", "一次 %[1]s 项改动：最多问 %[2]s 项"},
	{"the board does not speak that language", "el tablero no habla ese idioma", "看板不会说这种语言"},
	{"choose %[1]s", "elige %[1]s", "请选择 %[1]s"},
}
