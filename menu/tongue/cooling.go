package tongue

// A cooling log: what each limit asks for, what the readings show, what the codes say besides.

import (
	"regexp"
	"time"

	"kettletree/menu/kitchen"
)

// cooling are the sentences of a judged cooling log.
var cooling = Sentences{
	{"By %[1]s.", "Norma: %[1]s.", "依据：%[1]s。"},
	{"By %[1]s, in air at %[2]s.", "Norma: %[1]s; en aire a %[2]s.", "依据：%[1]s，周围空气 %[2]s。"},
	{"limit", "límite", "限值"},
	{"recorded", "registrado", "记录结果"},
	{"because", "por qué", "原因"},
	{"read at", "lectura", "测量时间"},
	{"reading", "anotado", "读数"},
	{"meets or breaks", "cumple o incumple", "符合或违反"},
	{"MET", "CUMPLIDO", "符合"},
	{"BROKEN", "INCUMPLIDO", "违反"},
	{"OPEN", "PENDIENTE", "未到期"},
	{"NOT SHOWN", "NO CONSTA", "无法判断"},
	{"%[1]s, due %[2]s", "%[1]s, límite %[2]s", "%[1]s，期限 %[2]s"},
	{"%[1]s to %[2]s within %[3]s", "de %[1]s a %[2]s en %[3]s como máximo", "%[3]s内从 %[1]s 降到 %[2]s"},
	{"%[1]s lot %[2]s", "%[1]s, lote %[2]s", "%[1]s（批号 %[2]s）"},
	{"No projection: %[1]s.", "Sin proyección: %[1]s.", "不作推算：%[1]s。"},
	{"A projection carries on from the last two readings (Newton's law of cooling). It does not replace a reading.",
		"Una proyección sigue desde las dos últimas lecturas (ley de enfriamiento de Newton). No sustituye a una lectura.",
		"推算按最后两次读数延续（牛顿冷却定律），不能代替测量。"},
	{"Cooling, by %[1]s", "Enfriamiento; norma: %[1]s", "冷却，依据：%[1]s"},
	{"Projections stand in for no reading.", "Una proyección no sustituye a una lectura.", "推算不能代替测量。"},
	{"air %[1]s", "aire %[1]s", "空气 %[1]s"},
}

// coolingShown is what the readings show of a limit.
var coolingShown = Sentences{
	{"its time begins when it leaves %[1]s", "su tiempo empieza cuando baja de %[1]s", "从低于 %[1]s 时起计时"},
	{"at or below %[1]s at %[2]s; the code names no time", "a %[1]s o menos el %[2]s; la norma no fija un tiempo", "%[2]s 已到 %[1]s 或以下；法规没有规定时间"},
	{"still above %[1]s; the code names no time", "todavía por encima de %[1]s; la norma no fija un tiempo", "仍高于 %[1]s；法规没有规定时间"},
	{"still above %[1]s at %[2]s, %[3]s after it was below %[4]s", "todavía por encima de %[1]s el %[2]s, %[3]s después de bajar de %[4]s", "降到 %[4]s 以下 %[3]s后，%[2]s 仍高于 %[1]s"},
	{"still above %[1]s at %[2]s, %[3]s after it was first read", "todavía por encima de %[1]s el %[2]s, %[3]s después de la primera lectura", "第一次测量 %[3]s后，%[2]s 仍高于 %[1]s"},
	{"still above %[1]s at %[2]s, %[3]s after it came off the heat", "todavía por encima de %[1]s el %[2]s, %[3]s después de salir del fuego", "离火 %[3]s后，%[2]s 仍高于 %[1]s"},
	{"still above %[1]s at %[2]s, and no reading from then to %[3]s, when it was due", "todavía por encima de %[1]s el %[2]s, y ninguna lectura desde entonces hasta el plazo: %[3]s", "%[2]s 仍高于 %[1]s，此后到期限 %[3]s 没有读数"},
	{"still above %[1]s at %[2]s; by now none of it is on hand", "todavía por encima de %[1]s el %[2]s; ya no queda nada", "%[2]s 仍高于 %[1]s；现在已经没有了"},
	{"no reading by %[1]s, when it was due", "ninguna lectura hasta el plazo: %[1]s", "到期限 %[1]s 没有读数"},
	{"no temperature was logged; due by %[1]s", "no se anotó ninguna temperatura; plazo: %[1]s", "没有记录温度；期限是 %[1]s"},
	{"no temperature was logged; the code names no time", "no se anotó ninguna temperatura; la norma no fija un tiempo", "没有记录温度；法规没有规定时间"},
	{"at or below %[1]s at %[2]s, %[3]s after it came off the heat", "a %[1]s o menos el %[2]s, %[3]s después de salir del fuego", "%[2]s 已到 %[1]s 或以下，离火后 %[3]s"},
	{"still above %[1]s at %[2]s; due by %[3]s", "todavía por encima de %[1]s el %[2]s; plazo: %[3]s", "%[2]s 仍高于 %[1]s；期限是 %[3]s"},
	{"still above %[1]s at %[2]s; due at some time from %[3]s to %[4]s", "todavía por encima de %[1]s el %[2]s; el plazo cae entre %[3]s y %[4]s", "%[2]s 仍高于 %[1]s；期限在 %[3]s 到 %[4]s 之间"},
	{"at or below %[1]s at %[2]s, at most %[3]s after it left %[4]s", "a %[1]s o menos el %[2]s, a lo sumo %[3]s después de bajar de %[4]s", "%[2]s 已到 %[1]s 或以下，离开 %[4]s 后最多 %[3]s"},
	{"at or below %[1]s at %[2]s, at most %[3]s after the first reading", "a %[1]s o menos el %[2]s, a lo sumo %[3]s después de la primera lectura", "%[2]s 已到 %[1]s 或以下，第一次测量后最多 %[3]s"},
	{"at or below %[1]s at %[2]s, but no reading shows whether it was by %[3]s", "a %[1]s o menos el %[2]s, pero ninguna lectura muestra si fue antes del %[3]s", "%[2]s 已到 %[1]s 或以下，但没有读数表明是否在 %[3]s 之前"},
	{"the first reading is already below %[1]s, and how long it had cooled by then was not recorded",
		"la primera lectura ya está por debajo de %[1]s, y no se anotó cuánto llevaba enfriándose", "第一次读数已低于 %[1]s，在此之前冷却了多久没有记录"},
	{"%[1]s, or sooner: %[2]s", "%[1]s, o antes: %[2]s", "%[1]s，或更早：%[2]s"},
}

// coolingTold is what one reading meets or breaks, what lies ahead, and what the codes say.
var coolingTold = Sentences{
	{"at or above %[1]s, the limit for holding hot (%[2]s)", "a %[1]s o más, el límite para mantener caliente (%[2]s)", "达到保温存放（热藏）的限值 %[1]s（%[2]s）"},
	{"above %[1]s, the limit for holding hot (%[2]s)", "por encima de %[1]s, el límite para mantener caliente (%[2]s)", "高于保温存放（热藏）的限值 %[1]s（%[2]s）"},
	{"breaks %[1]s: above %[2]s after %[3]s", "incumple %[1]s: por encima de %[2]s después de %[3]s", "违反 %[1]s：%[3]s后仍高于 %[2]s"},
	{"%[1]s left to reach %[2]s (%[3]s)", "quedan %[1]s para llegar a %[2]s (%[3]s)", "还有 %[1]s可降到 %[2]s（%[3]s）"},
	{"meets %[1]s: at or below %[2]s within %[3]s", "cumple %[1]s: a %[2]s o menos en %[3]s", "符合 %[1]s：%[3]s内到 %[2]s 或以下"},
	{"at or below %[1]s, the limit for holding cold (%[2]s)", "a %[1]s o menos, el límite para conservar en frío (%[2]s)", "在冷藏限值 %[1]s 或以下（%[2]s）"},
	{"breaks %[1]s: was at or below %[2]s, and is above it again", "incumple %[1]s: estuvo a %[2]s o menos y vuelve a estar por encima", "违反 %[1]s：曾到 %[2]s 或以下，又升到其上"},

	// looking ahead
	{"the code names no limit to reach", "la norma no fija ningún límite", "法规没有规定限值"},
	{"the last limit was reached", "ya se llegó al último límite", "已降到最后一个限值"},
	{"give the temperature of the air that it cools in", "indica la temperatura del aire en que se enfría", "请给出冷却处的空气温度"},
	{"it takes two readings", "hacen falta dos lecturas", "需要两次读数"},
	{"it did not cool towards the air between the last two readings", "entre las dos últimas lecturas no se acercó a la temperatura del aire", "最后两次读数之间没有向空气温度冷却"},
	{"projection: %[1]s is never reached in air at %[2]s", "proyección: en aire a %[2]s nunca llega a %[1]s", "推算：在 %[2]s 的空气中降不到 %[1]s"},
	{"projection: %[1]s is reached %[2]s after the last reading", "proyección: llega a %[1]s %[2]s después de la última lectura", "推算：最后一次读数后 %[2]s降到 %[1]s"},
	{"%[1]s, at %[2]s", "%[1]s, el %[2]s", "%[1]s，即 %[2]s"},
	{"%[1]s, %[2]s after it is due", "%[1]s, %[2]s después del plazo", "%[1]s，比期限晚 %[2]s"},
	{"%[1]s, %[2]s before it is due", "%[1]s, %[2]s antes del plazo", "%[1]s，比期限早 %[2]s"},
	{"%[1]s; its start was not recorded, so when it is due is not known", "%[1]s; no se anotó su comienzo, así que no se sabe el plazo", "%[1]s；没有记录开始时间，所以期限不明"},

	// the codes
	{"no time to cool in stands in %[1]s: as quickly as possible", "la norma no fija un tiempo para enfriar: lo más rápido posible (%[1]s)", "%[1]s没有规定冷却时间：越快越好"},
	{"UK temperature rules of England, Wales and Northern Ireland", "normas de temperatura del Reino Unido (Inglaterra, Gales e Irlanda del Norte)", "英国（英格兰、威尔士和北爱尔兰）温度规定"},
	{"Food Hygiene (Scotland) Regulations 2006", "Reglamento de higiene alimentaria de Escocia de 2006", "苏格兰 2006 年食品卫生条例"},
	{"French cooling rule", "norma francesa de enfriamiento", "法国冷却规定"},
	{"Codex CXC 39-1993, mass catering", "Codex CXC 39-1993, servicios de comidas", "食品法典 CXC 39-1993（大众餐饮）"},
	{"EU Regulation 852/2004", "Reglamento (CE) 852/2004", "欧盟第 852/2004 号条例"},
	{"Schedule 4", "anexo 4", "附表 4"},
	{"Schedule 4, paragraph 2", "anexo 4, párrafo 2", "附表 4 第 2 款"},
	{"Schedule 4, paragraph 3", "anexo 4, párrafo 3", "附表 4 第 3 款"},
	{"Annex II, chapter IX(6)", "anexo II, capítulo IX(6)", "附件二第九章第 6 条"},
	{"arrêté of 21 December 2009", "orden de 21 de diciembre de 2009", "2009 年 12 月 21 日令"},
	{"cooling", "enfriamiento", "冷却"},
	{"serving", "servicio de la comida", "上菜"},
	{"storage", "conservación", "存放"},
	{"reheating", "recalentamiento", "复热"},
	{"cook poultry, wild game and stuffed food to 74 °C (165 °F); what is ground, tenderised or injected, and eggs not cooked to order, to 68 °C (155 °F) for 17 s; fish, whole cuts and eggs to order to 63 °C (145 °F) for 15 s",
		"cocer aves, caza silvestre y lo relleno a 74 °C (165 °F); lo molido, ablandado o inyectado, y los huevos que no sean a la orden, a 68 °C (155 °F) durante 17 s; pescado, piezas enteras y huevos a la orden a 63 °C (145 °F) durante 15 s",
		"禽肉、野味和填馅食品做到 74 °C（165 °F）；绞碎、嫩化或注射过的，以及不是现点现做的蛋，到 68 °C（155 °F）并保持 17 秒；鱼、整块肉和现点现做的蛋到 63 °C（145 °F）并保持 15 秒"},
	{"whole roasts: by the table there, such as 63 °C (145 °F) for 4 min", "asados enteros: según la tabla de esa sección, por ejemplo 63 °C (145 °F) durante 4 min", "整块烤肉：按该条的表，例如 63 °C（145 °F）保持 4 分钟"},
	{"reheat for hot holding, all parts of it, to 74 °C (165 °F) for 15 s within 2 h; in a microwave stirred or turned and covered, then left covered for 2 min; what a plant packed ready to eat, just opened, to 57 °C (135 °F)",
		"para mantener caliente, recalentar todas sus partes a 74 °C (165 °F) durante 15 s en 2 h como máximo; en microondas, removido o girado y tapado, y luego 2 min tapado; lo que una planta envasó listo para comer, recién abierto, a 57 °C (135 °F)",
		"复热后要保温的，所有部分在 2 小时内热到 74 °C（165 °F）并保持 15 秒；用微波炉的，要搅动或转动并加盖，之后再盖着放 2 分钟；工厂包装的即食食品，刚开封的，到 57 °C（135 °F）"},
	{"what a law lets come in warmer than 5 °C (41 °F), such as milk and shellfish: to 5 °C (41 °F) or colder within 4 h",
		"lo que una ley permite recibir a más de 5 °C (41 °F), como leche y moluscos con concha: a 5 °C (41 °F) o menos en 4 h", "法律允许高于 5 °C（41 °F）收货的，例如奶和带壳贝类：4 小时内降到 5 °C（41 °F）或以下"},
	{"raw eggs in the shell: at once into air of 7 °C (45 °F) or colder", "huevos crudos con cáscara: enseguida a un aire de 7 °C (45 °F) o menos", "带壳生蛋：立即放入 7 °C（45 °F）或以下的空气中"},
	{"cool in one or more ways that suit the food: shallow pans, small or thin portions, quick chillers, stirred in a pan in ice water, containers that let the heat out, ice as an ingredient; covered loosely, or open where nothing can fall in",
		"enfriar de una o más maneras adecuadas al alimento: bandejas bajas, porciones pequeñas o delgadas, abatidores, removido en un recipiente dentro de agua con hielo, recipientes que dejen salir el calor, hielo como ingrediente; tapado sin cerrar, o abierto donde nada pueda caer dentro",
		"用一种或几种适合该食物的方法冷却：浅盘、小份或薄份、速冷设备、放在冰水里的盆中搅动、导热好的容器、加冰作为配料；松松盖上，没有东西会掉进去的地方可不盖"},
	{"roasts cooked by the tables of 3-401.11(B), or reheated by 3-403.11(E), may be held hot at 54 °C (130 °F)",
		"los asados cocidos según las tablas de 3-401.11(B), o recalentados según 3-403.11(E), pueden mantenerse calientes a 54 °C (130 °F)", "按 3-401.11(B) 的表烤熟的，或按 3-403.11(E) 复热的整块烤肉，可在 54 °C（130 °F）保温存放（热藏）"},
	{"discard what is past its date mark or was too warm (frozen time is not counted), what bears no mark, and what bears a day that is too late",
		"desechar lo que pasó de su marca de fecha o estuvo demasiado caliente (el tiempo congelado no cuenta), lo que no lleva marca y lo que lleva un día demasiado tardío", "过了日期标识的、温度曾过高的（冷冻时间不计）、没有标识的、标识日期过晚的，都要丢弃"},
	{"held by time only: the procedures are written down beforehand and kept at hand", "conservado solo por tiempo: los procedimientos se escriben antes y se tienen a mano", "只按时间存放的：事先写好办法并放在手边"},
	{"held by time only, from 5 °C (41 °F) or colder or 57 °C (135 °F) or hotter: mark the time, serve or discard within 4 h; discard what is not marked",
		"conservado solo por tiempo, desde 5 °C (41 °F) o menos o 57 °C (135 °F) o más: marcar la hora, servir o desechar en 4 h; desechar lo que no esté marcado", "只按时间存放，起始 5 °C（41 °F）或以下或 57 °C（135 °F）或以上：标明时间，4 小时内上菜或丢弃；没有标明的丢弃"},
	{"held by time only, ready to eat: produce just cut and what comes out of a can or pack just opened, from 21 °C (70 °F) or colder and never above it: mark the time, serve or discard within 4 h",
		"conservado solo por tiempo, listo para comer: verdura o fruta recién cortada y lo que sale de una lata o un envase recién abierto, desde 21 °C (70 °F) o menos y nunca por encima: marcar la hora, servir o desechar en 4 h",
		"只按时间存放的即食食品：刚切的蔬果和刚开封的罐头或包装食品，起始 21 °C（70 °F）或以下，且一直不超过；标明时间，4 小时内上菜或丢弃"},
	{"held by time only, from 5 °C (41 °F) or colder and never above 21 °C (70 °F): mark the time, serve or discard within 6 h; discard what is not marked",
		"conservado solo por tiempo, desde 5 °C (41 °F) o menos y nunca por encima de 21 °C (70 °F): marcar la hora, servir o desechar en 6 h; desechar lo que no esté marcado", "只按时间存放，起始 5 °C（41 °F）或以下，且一直不超过 21 °C（70 °F）：标明时间，6 小时内上菜或丢弃；没有标明的丢弃"},
	{"on display once: under 4 h above 8 °C (46.4 °F), under 2 h below 63 °C (145.4 °F)", "expuesto una sola vez: menos de 4 h por encima de 8 °C (46.4 °F), menos de 2 h por debajo de 63 °C (145.4 °F)", "只可陈列一次：高于 8 °C（46.4 °F）少于 4 小时，低于 63 °C（145.4 °F）少于 2 小时"},
	{"hold hot above 63 °C (145.4 °F), or keep it in a refrigerator or a cool, ventilated place; no figure is named for cold",
		"mantener caliente a más de 63 °C (145.4 °F), o guardar en un refrigerador o en un lugar fresco y ventilado; no se fija una cifra para el frío", "高于 63 °C（145.4 °F）保温存放（热藏），或放入冰箱或阴凉通风处；冷藏没有规定数值"},
	{"after cooking, cool it under hygienic conditions as quickly as possible; no time is named", "después de cocer, enfriar en condiciones higiénicas lo más rápido posible; no se fija un tiempo", "做熟后在卫生条件下尽快冷却；没有规定时间"},
	{"reheat to 82 °C (179.6 °F) or hotter, unless that spoils it", "recalentar a 82 °C (179.6 °F) o más, salvo que eso lo estropee", "复热到 82 °C（179.6 °F）或以上，除非那样会毁了食物"},
	{"reheat the core to 75 °C (167 °F) or hotter within 1 h of leaving the cold", "recalentar el centro a 75 °C (167 °F) o más en 1 h desde que sale del frío", "离开冷藏后 1 小时内把中心复热到 75 °C（167 °F）或以上"},
	{"cool as quickly as possible; no figure is named", "enfriar lo más rápido posible; no se fija una cifra", "尽快冷却；没有规定数值"},
}

// degree is a temperature to a tenth in a text.
var degree = regexp.MustCompile(`\d+\.\d °`)

// Degrees writes the temperatures in a text as the region writes numbers; sections such as 3-501.14 stay as they are.
func (v Voice) Degrees(text string) string {
	return degree.ReplaceAllStringFunc(text, v.Figure)
}

// Code is the title of a food code.
func (v Voice) Code(c *kitchen.Code) string { return v.Section(c.Title) }

// Section is a section of a food code, or its title: a number stays as it is, words are said.
func (v Voice) Section(section string) string {
	if !Known(section) {
		return section
	}
	return v.Word(section)
}

// Cite names a section of a food code with its title.
func (v Voice) Cite(c *kitchen.Code, section string) string {
	return v.Say("%[1]s, %[2]s", v.Code(c), v.Section(section))
}

// Moment is a time of a day: "Tue 24 Nov 22:30".
func (v Voice) Moment(t time.Time) string { return v.On(t, t.Format("15:04")) }

// MomentAfter is a time that is named after another: without the day where that is the same.
func (v Voice) MomentAfter(before, t time.Time) string {
	if before.Format(time.DateOnly) == t.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return v.Moment(t)
}

// Logged is what a cooling log is of, under the name that it has in the language.
func (v Voice) Logged(l kitchen.CoolingLog, called func(string) string) string {
	if l.Lot != "" {
		return v.Say("%[1]s lot %[2]s", called(l.Of), l.Lot)
	}
	return called(l.Of) + l.Pan
}
