package tongue

// Units of the trade that have a word in a language; those that are signs, such as kg, stand as they are.

import (
	"slices"
	"strings"
)

// units are amounts in them.
var units = Sentences{
	{"1 each", "1 pieza", "1 个"},
	{"+1 each", "+1 pieza", "+1 个"},
	{"-1 each", "-1 pieza", "-1 个"},
	{"¼ each", "¼ pieza", "¼ 个"},
	{"½ each", "½ pieza", "½ 个"},
	{"¾ each", "¾ pieza", "¾ 个"},
	{"0.25 each", "¼ pieza", "¼ 个"},
	{"0.5 each", "½ pieza", "½ 个"},
	{"0.75 each", "¾ pieza", "¾ 个"},
	{"<¼ each", "<¼ pieza", "<¼ 个"},
	{"<0.25 each", "<¼ pieza", "<¼ 个"},
	{"%[1]s each", "%[1]s piezas", "%[1]s 个"},
	{"1 doz", "1 docena", "1 打"},
	{"%[1]s doz", "%[1]s docenas", "%[1]s 打"},
	{"%[1]s cup", "%[1]s taza", "%[1]s 杯"},
	{"%[1]s cups", "%[1]s tazas", "%[1]s 杯"},
	{"%[1]s tsp", "%[1]s cdta.", "%[1]s 茶匙"},
	{"%[1]s tbsp", "%[1]s cda.", "%[1]s 汤匙"},
	{"%[1]s bunch", "%[1]s manojo", "%[1]s 把"},
	{"%[1]s bunches", "%[1]s manojos", "%[1]s 把"},
	{"%[1]s head", "%[1]s cabeza", "%[1]s 颗"},
	{"%[1]s heads", "%[1]s cabezas", "%[1]s 颗"},
	{"%[1]s clove", "%[1]s diente", "%[1]s 瓣"},
	{"%[1]s cloves", "%[1]s dientes", "%[1]s 瓣"},
	{"%[1]s sprig", "%[1]s ramita", "%[1]s 枝"},
	{"%[1]s sprigs", "%[1]s ramitas", "%[1]s 枝"},
	{"%[1]s slice", "%[1]s rebanada", "%[1]s 片"},
	{"%[1]s slices", "%[1]s rebanadas", "%[1]s 片"},
	{"%[1]s sheet", "%[1]s hoja", "%[1]s 张"},
	{"%[1]s sheets", "%[1]s hojas", "%[1]s 张"},
	{"%[1]s can", "%[1]s lata", "%[1]s 罐"},
	{"%[1]s cans", "%[1]s latas", "%[1]s 罐"},
	{"%[1]s bottle", "%[1]s botella", "%[1]s 瓶"},
	{"%[1]s bottles", "%[1]s botellas", "%[1]s 瓶"},
	{"%[1]s jar", "%[1]s frasco", "%[1]s 瓶"},
	{"%[1]s jars", "%[1]s frascos", "%[1]s 瓶"},
	{"%[1]s bag", "%[1]s bolsa", "%[1]s 袋"},
	{"%[1]s bags", "%[1]s bolsas", "%[1]s 袋"},
	{"%[1]s box", "%[1]s caja", "%[1]s 盒"},
	{"%[1]s boxes", "%[1]s cajas", "%[1]s 盒"},
	{"%[1]s tub", "%[1]s tina", "%[1]s 桶"},
	{"%[1]s tubs", "%[1]s tinas", "%[1]s 桶"},
	{"%[1]s tray", "%[1]s charola", "%[1]s 盘"},
	{"%[1]s trays", "%[1]s charolas", "%[1]s 盘"},
	{"%[1]s case", "%[1]s caja", "%[1]s 箱"},
	{"%[1]s cases", "%[1]s cajas", "%[1]s 箱"},
	{"%[1]s pinch", "%[1]s pizca", "%[1]s 撮"},
	{"%[1]s pinches", "%[1]s pizcas", "%[1]s 撮"},
}

// Amount is an amount as answers print it in English: "2 bunches", "2 manojos"; "1,5 kg" where that is how numbers are written.
func (v Voice) Amount(text string) string {
	if v.English() {
		return text
	}
	if Known(text) {
		return v.Word(text)
	}
	if number, unit, ok := strings.Cut(text, " "); ok && Known("%[1]s "+unit) {
		return v.Say("%[1]s "+unit, v.Figure(number))
	}
	return v.Figure(text)
}

// Unit is what one of a unit is called: "caja" of "case"; several of it by what several are called, "cajas" of "cases". A sign stands as it is.
func (v Voice) Unit(name string) string {
	for _, before := range []string{"1 ", "%[1]s "} {
		if !v.English() && Known(before+name) {
			return strings.TrimSpace(strings.TrimPrefix(v.Word(before+name), before))
		}
	}
	return name
}

// countedAs are the endings of Chinese names by which something is counted otherwise than by 个: whole animals, leaves, flat cakes, fish and long loaves.
var countedAs = []struct {
	ends []string
	key  string
}{
	{[]string{"鸡", "鸭", "鹅", "兔", "鸽", "鸽子", "兔子", "鹌鹑", "龙虾", "大虾", "螃蟹", "蟹", "全羊", "乳猪"}, "%[1]s animals"},
	{[]string{"叶", "叶子"}, "%[1]s slices"},
	{[]string{"薄饼", "玉米饼", "烙饼", "煎饼", "饼皮", "饺子皮", "馄饨皮"}, "%[1]s sheets"},
	{[]string{"鱼", "鱼类", "鳗", "长面包", "法棍", "法式面包"}, "%[1]s fish or loaves"},
}

// Pieces is how many there are of something that is counted: in Chinese by the word that its name calls for.
func (v Voice) Pieces(count, name string) string {
	key := "%[1]s pieces"
	if v.chinese() {
		for _, c := range countedAs {
			if slices.ContainsFunc(c.ends, func(end string) bool {
				return strings.HasSuffix(name, end) || strings.HasSuffix(name, traditional.Replace(end))
			}) {
				key = c.key
			}
		}
	}
	return v.Say(key, count)
}
