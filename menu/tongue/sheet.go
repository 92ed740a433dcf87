package tongue

import (
	"time"

	"golang.org/x/text/language"
)

// sheets are the sentences of the sheets that staff hold in their hands: what to do when, by person and by station.
var sheets = Sentences{
	{"Sheets", "Hojas de trabajo", "工作单"},
	{"%[1]s to %[2]s", "de %[1]s a %[2]s", "%[1]s至%[2]s"},
	{"Must be met", "Hay que cumplir", "必须做到"},
	{"Does not fit", "No se puede", "排不下"},
	{"Not logged yet", "Sin anotar todavía", "还没有记录"},
	{"Nothing to do.", "Nada que hacer.", "没有要做的事。"},
	{"%[1]s or colder by %[2]s", "a %[1]s o menos, límite %[2]s", "%[2]s 前降到 %[1]s 或以下"},
	{"and %[1]s more", "y %[1]s más", "另有 %[1]s 项"},
	{"How each is made stands in the guide: there is no room for it here.", "Cómo se hace cada cosa está en la guía: aquí no cabe.", "做法写在新厨师指南里：这一页写不下。"},
	{"page %[1]s of %[2]s", "hoja %[1]s de %[2]s", "第 %[1]s 页，共 %[2]s 页"},

	// what to do
	{"Start %[1]s", "Empieza: %[1]s", "开始：%[1]s"},
	{"Start %[1]s, %[2]s batches", "Empieza: %[1]s, %[2]s tandas", "开始：%[1]s，%[2]s 批"},
	{"Put in %[1]s", "Echa %[1]s", "放入%[1]s"},
	{"Take out %[1]s", "Saca %[1]s", "取出%[1]s"},
	{"End of %[1]s", "Fin: %[1]s", "%[1]s结束"},
	{"Make %[1]s", "Haz %[1]s", "做%[1]s"},
	{"Now: %[1]s (%[2]s)", "Ahora: %[1]s (%[2]s)", "现在：%[1]s（%[2]s）"},
	{"Service: %[1]s", "Servicio: %[1]s", "餐段：%[1]s"},
	{"it had to be so by %[1]s, and no reading tells", "debía estar así a más tardar el %[1]s, y ninguna lectura lo dice", "最迟%[1]s须如此，没有读数可以说明"},
	{"Read the temperature of %[1]s: %[2]s or colder", "Mide la temperatura de %[1]s: %[2]s o menos", "量温度：%[1]s，须为 %[2]s 或以下"},
	{"Write it down: ______", "Anótala: ______", "记下来：______"},
	{"%[1]s the %[2]s", "%[1]s: %[2]s", "%[1]s一下%[2]s"},
	{"%[1]s of %[2]s", "%[1]s de %[2]s", "%[2]s的%[1]s"},
	{"%[1]s %[2]s", "%[1]s %[2]s", "%[1]s %[2]s"},
	{"%[1]s pieces", "%[1]s", "%[1]s 个"},
	{"%[1]s animals", "%[1]s", "%[1]s 只"},
	{"%[1]s fish or loaves", "%[1]s", "%[1]s 条"},
	{"into the %[1]s", "en: %[1]s", "放进%[1]s"},
	{"from %[1]s", "con %[1]s", "用料：%[1]s"},
	{"gives %[1]s", "rinde %[1]s", "产出：%[1]s"},
	{"for %[1]s", "para %[1]s", "用于：%[1]s"},
	{"%[1]s is free", "queda libre: %[1]s", "%[1]s空出来"},
	{"%[1]s by %[2]s", "%[1]s a más tardar a las %[2]s", "%[2]s 前 %[1]s"},
	{"done by %[1]s", "listo a más tardar a las %[1]s", "%[1]s 前做完"},
	{"%[1]s an hour until %[2]s", "%[1]s cada hora hasta las %[2]s", "每小时 %[1]s，到 %[2]s 为止"},
	{"the card says %[1]s", "la ficha dice %[1]s", "配方卡上写的是 %[1]s"},
	{"too late for %[1]s", "tarde para %[1]s", "赶不上%[1]s"},
	{"Looks like: %[1]s", "Se ve así: %[1]s", "样子：%[1]s"},
	{"about %[1]s", "unos %[1]s", "约 %[1]s"},
	{"with %[1]s", "con %[1]s", "与%[1]s一起"},
	{"bench", "mesa de trabajo", "操作台"},
	{"cook", "cocinero", "厨师"},
	{"breakfast", "desayuno", "早餐"},
	{"brunch", "brunch", "早午餐"},
	{"lunch", "almuerzo", "午餐"},
	{"dinner", "cena", "晚餐"},
	{"supper", "cena de noche", "晚饭"},
	{"service", "servicio", "餐段"},

	// acts
	{"light", "encender", "点火"},
	{"load", "cargar", "装锅"},
	{"fill", "llenar", "加满"},
	{"make", "preparar", "制作"},
	{"work", "trabajar", "操作"},
	{"putting in", "echar", "放入"},
	{"take out", "sacar", "取出"},
	{"skim", "espumar", "撇沫"},
	{"stir", "remover", "搅动"},
	{"turn", "voltear", "翻面"},
	{"baste", "bañar con el jugo", "淋汁"},
	{"tend", "vigilar", "照看"},
	{"pull", "deshebrar", "撕肉"},
	{"pick", "limpiar y deshuesar", "拆肉"},
	{"bone out", "deshuesar", "去骨"},
	{"strain", "colar", "过滤"},
	{"drain", "escurrir", "沥干"},
	{"press", "prensar", "压实"},
	{"slice", "rebanar", "切片"},
	{"portion", "porcionar", "分份"},
	{"pack", "empacar", "装盒"},
	{"wrap", "envolver", "包好"},
	{"chill", "refrigerar", "冷藏"},
	{"cool", "enfriar", "降温"},
	{"wash", "lavar", "清洗"},
}

// Weekday is a day of the week in short: "Tue", "mar", "周二".
func (v Voice) Weekday(t time.Time) string {
	switch {
	case v.Tag == language.TraditionalChinese:
		return traditional.Replace(weekdays[language.SimplifiedChinese][t.Weekday()])
	case !v.English():
		return weekdays[v.Tag][t.Weekday()]
	}
	return t.Format("Mon")
}

// Trade is a word that may be one of ours: in the language where it is, else as it stands.
func (v Voice) Trade(word string) string {
	if Known(word) {
		return v.Word(word)
	}
	return word
}
