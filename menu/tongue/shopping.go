package tongue

// shopping are the sentences of the shopping list, beside those of the board's Buy.
var shopping = Sentences{
	{"Nothing to buy in %[1]s from %[2]s.", "Nada que comprar en %[1]s desde el %[2]s.", "从%[2]s起 %[1]s内没有要买的。"},
	{"%[1]s: %[2]s to buy, for %[3]s.", "%[1]s: %[2]s por comprar, %[3]s.", "%[1]s：要买 %[2]s 项，共 %[3]s。"},
	{"Total %[1]s.", "Total: %[1]s.", "合计 %[1]s。"},
	{"What can come on any day is listed for this day only. To buy it once for as long as it keeps, add %[1]s.",
		"Lo que puede llegar cualquier día está solo para este día. Para comprarlo de una vez mientras se conserve, añade %[1]s.",
		"随时能到的货这里只列当天的量。想趁放得住一次买齐，就再加%[1]s。"},
	{"%[1]s apiece", "%[1]s c/u", "每个 %[1]s"},
	{"buy", "comprar", "采购"},
	{"needed", "hace falta", "需要"},
	{"packs", "paquetes", "包数"},
	{"cost", "costo", "金额"},
	{"no supplier named", "sin proveedor", "未写供应商"},
	{"to buy", "por comprar", "要买的"},
	{"ordered here this once", "pedido aquí solo esta vez", "只这次在这里订"},
	{"only %[1]s of it needed: go without?", "solo hacen falta %[1]s: ¿se puede pasar sin esto?", "只需要 %[1]s：能不买吗？"},
	{"%[1]s short with one pack fewer: go without?", "faltarían %[1]s con un paquete menos: ¿se puede pasar sin esto?", "少买一包就差 %[1]s：能省吗？"},
}
