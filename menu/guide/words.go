package guide

// What the guide says, in each of its languages. The translations are our own; the package comment says how far they were reviewed.

import (
	"slices"

	"golang.org/x/text/message/catalog"

	"kettletree/menu/tongue"
)

// sentences is the table as the printer reads it; known has its keys.
var sentences, known = func() (*catalog.Builder, map[string]bool) {
	keys := map[string]bool{}
	for _, w := range words {
		keys[w[0]] = true
	}
	return tongue.Catalog(words), keys
}()

// words are the sentences of the guide, and those that it shares with other answers.
var words = slices.Concat(own, tongue.Shared)

// own are the sentences that only the guide says.
var own = tongue.Sentences{
	{"step", "paso", "工序"},

	// days
	{"Sunday", "domingo", "星期日"},
	{"Monday", "lunes", "星期一"},
	{"Tuesday", "martes", "星期二"},
	{"Wednesday", "miércoles", "星期三"},
	{"Thursday", "jueves", "星期四"},
	{"Friday", "viernes", "星期五"},
	{"Saturday", "sábado", "星期六"},
	{"every day", "todos los días", "每天"},

	// small words
	{"%[1]s → %[2]s", "%[1]s → %[2]s", "%[1]s → %[2]s"},
	{"%[1]s: %[2]s → %[3]s", "%[1]s: %[2]s → %[3]s", "%[1]s：%[2]s → %[3]s"},
	{"%[1]s (%[2]s of %[3]s)", "%[1]s (%[2]s de %[3]s)", "%[1]s（%[3]s 份中的 %[2]s 份）"},
	{"or %[1]s", "o %[1]s", "或%[1]s"},
	{"%[1]s or %[2]s", "%[1]s o %[2]s", "%[1]s或%[2]s"},
	{"%[1]s (to taste: go on without it)", "%[1]s (al gusto: si falta, se sigue sin ello)", "%[1]s（适量：没有也照做）"},
	{"%[1]s (give or take %[2]s)", "%[1]s (%[2]s más o menos)", "%[1]s（可少 %[2]s）"},
	{"%[1]s (can be left out)", "%[1]s (se puede omitir)", "%[1]s（可省略）"},
	{"%[1]s (only as a substitute)", "%[1]s (solo como sustituto)", "%[1]s（仅作替代）"},
	{"%[1]s (from yesterday)", "%[1]s (de ayer)", "%[1]s（用昨天的）"},
	{"%[1]s (in after %[2]s)", "%[1]s (entra a las %[2]s de empezar)", "%[1]s（开始后 %[2]s放入）"},
	{"%[1]s (how much is not said yet)", "%[1]s (aún no se dice cuánto)", "%[1]s（用多少还没写）"},
	{"%[1]s (out after %[2]s)", "%[1]s (sale a las %[2]s de empezar)", "%[1]s（开始后 %[2]s取出）"},
	{"%[1]s in place of %[2]s", "%[1]s en lugar de %[2]s", "%[1]s，代替 %[2]s"},

	// the page
	{"Guide for new cooks: %[1]s", "Guía para cocineros nuevos: %[1]s", "新厨师指南：%[1]s"},
	{"Made from the standing week of %[1]s, %[2]s.", "Hecha con la semana habitual que empieza el %[1]s (%[2]s).", "根据从%[1]s开始的常规一周编写，共 %[2]s。"},
	{"Contents", "Contenido", "目录"},
	{"Caution:", "Precaución:", "注意："},

	// the map
	{"The map", "El mapa", "总图"},
	{"What depends on what: read it from left to right. If something on the left is missing, follow the lines to see what it feeds.",
		"Qué depende de qué: se lee de izquierda a derecha. Si falta algo a la izquierda, sigue las líneas para ver qué alimenta.",
		"什么依靠什么：从左往右看。左边缺了什么，就沿着线看它供给哪些。"},
	{"Names without a translation are shown as the kitchen file has them: %[1]s of them.",
		"Los nombres que aún no tienen traducción aparecen como en el archivo de la cocina: %[1]s en total.",
		"还没有译名的，照厨房文件里的名称写出：共 %[1]s 个。"},
	{"From what is bought, at the left, to what is sold, at the right. Amounts are for one batch or portion. What is bought in small amounts has no box.",
		"De lo que se compra, a la izquierda, a lo que se vende, a la derecha. Las cantidades son por tanda o porción. Lo que se compra en poca cantidad no tiene recuadro.",
		"左边是买进的，右边是卖出的。数量按一批或一份计。用量小的采购品没有方框。"},
	{"Boxes", "Recuadros", "方框"},
	{"Lines", "Líneas", "线"},
	{"bought", "comprado", "采购"},
	{"made", "hecho aquí", "自制"},
	{"from yesterday", "de ayer", "用昨天的"},
	{"substitute", "sustituto", "替代"},
	{"optional", "opcional", "可省略"},
	{"to", "a", "到"},
	{"A flow from left to right:", "Un flujo de izquierda a derecha:", "从左到右的流程："},
	{"There is too much for one picture, so the flow stands here in words.", "Es demasiado para un solo dibujo: el flujo va aquí en palabras.",
		"内容太多，一张图画不下，这里用文字写出流程。"},
	{"Nothing to draw.", "No hay nada que dibujar.", "没有可画的内容。"},
	{"Small print: %.1f points on A3. A part of it (--around ITEM) is easier to read.", "Letra pequeña: %.1f puntos en A3.", "字小：A3 纸上 %.1f 磅。"},

	// the pot
	{"The pot: %[1]s", "La olla: %[1]s", "大锅：%[1]s"},
	{"Where: %[1]s.", "Dónde: %[1]s.", "地点：%[1]s。"},
	{"Without it these are not sold at all: %[1]s.", "Sin ella no se vende nada de esto: %[1]s.", "没有它，这些一份也卖不出：%[1]s。"},
	{"In", "Entra", "放入"},
	{"Out", "Sale", "取出"},
	{"start", "al empezar", "开始时"},
	{"after %[1]s", "tras %[1]s", "%[1]s后"},
	{"%[1]s next day", "%[1]s del día siguiente", "次日 %[1]s"},
	{"%[1]s on day %[2]s", "%[1]s del día %[2]s", "第 %[2]s 天 %[1]s"},
	{"%[1]s, thrown away", "%[1]s, se tira", "%[1]s，扔掉"},
	{"%[1]s and %[2]s more", "%[1]s y %[2]s más", "%[1]s等，另有 %[2]s 项"},
	{"When it runs out", "Cuando se acaba", "用完了怎么办"},
	{"Hour by hour", "Hora por hora", "时间表"},
	{"Each part follows one batch by its card, from start to end. Hours are by the kitchen's clock.",
		"Cada parte cuenta una tanda según su ficha, de principio a fin. Las horas son las del reloj de la cocina.",
		"每一段按配方卡讲一批，从开始到结束。时间以厨房的钟为准。"},
	{"What is carried from day to day is assumed to be there on the first morning: %[1]s.",
		"Lo que pasa de un día a otro se toma como ya presente la primera mañana: %[1]s.",
		"天天接着用的东西，当作第一天早上就有：%[1]s。"},
	{"Filled triangle: into the vessel. Empty triangle: out of it. Thick line: a service begins.",
		"Triángulo lleno: entra en el recipiente. Triángulo vacío: sale. Línea gruesa: empieza un servicio.",
		"实心三角：放入锅中。空心三角：从锅中取出。粗线：餐段开始。"},
	{"one batch: %[1]s", "una tanda: %[1]s", "做一批的日子：%[1]s"},
	{"%[2]s batches each: %[1]s", "%[2]s tandas cada día: %[1]s", "每天 %[2]s 批：%[1]s"},
	{"batches: %[1]s", "tandas: %[1]s", "批数：%[1]s"},
	{"%[2]s on %[1]s", "%[2]s el %[1]s", "%[1]s %[2]s 批"}, // with the number behind, "martes 4" reads as a date
	{"The %[1]s is free.", "Queda libre: %[1]s.", "%[1]s空出来了。"},
	{"End of %[1]s.", "Fin de %[1]s.", "%[1]s结束。"},

	// stations
	{"Station: %[1]s", "Estación: %[1]s", "档口：%[1]s"},
	{"When", "Cuándo", "何时"},
	{"How", "Cómo", "做法"},
	{"Looks like", "Se ve", "样子"},
	{"In the %[1]s.", "En: %[1]s.", "用%[1]s。"},
	{"No %[1]s?", "¿No hay %[1]s?", "没有%[1]s？"},
	{"It has a page of its own: The pot.", "Tiene su propia página: La olla.", "另有专页：大锅。"},
	{"More, further back", "Más, al final", "更多在后面"},
	{"More work at the stations", "Más trabajo en las estaciones", "各档口的其他工作"},
	{"A batch takes", "Una tanda lleva", "一批用料"},
	{"A batch gives", "Una tanda rinde", "一批产出"},
	{"Each day, all there is of %[1]s.", "Cada día, todo lo que haya de %[1]s.", "每天把所有的%[1]s都用上。"},
	{"To order: as much as the dishes need.", "A la orden: lo que pidan los platos.", "按单制作：菜品要多少做多少。"},
	{"As needed: when what is on hand would not do for the next service. Use what is over first.",
		"Según haga falta: cuando lo que hay no alcanza para el próximo servicio. Lo que sobra se usa primero.",
		"按需：库存不够下一餐用时才做。剩下的先用。"},
	{"As needed, in whole batches.", "Según haga falta, por tandas enteras.", "按需整批制作。"},
	{"As needed, in whole batches or halves.", "Según haga falta, por tandas enteras o medias.", "按需制作，整批或半批。"},
	{"On no set day.", "Sin día fijo.", "没有固定的日子。"},
	{"At %[1]s; %[2]s.", "A las %[1]s; %[2]s.", "%[1]s 开始；%[2]s。"},

	// items
	{"Items", "Productos", "物料"},
	{"For each: where it comes from, where it goes, and what to do when it runs out. What stops and what goes on is worked out for a whole week without it.",
		"De cada uno: de dónde viene, adónde va y qué hacer cuando se acaba. Lo que se detiene y lo que sigue se calcula para una semana entera sin él.",
		"每一样：从哪里来，到哪里去，用完了怎么办。哪些停卖、哪些照卖，是按整周缺它来计算的。"},
	{"Made here", "Hecho aquí", "自制"},
	{"Bought", "Comprado", "采购"},
	{"Comes from", "Viene de", "来自"},
	{"Goes into", "Va a", "用于"},
	{"Days it keeps", "Días que se conserva", "可存天数"},
	{"delivered: %[1]s", "llega: %[1]s", "到货：%[1]s"},
	{"in packs of %[1]s", "en paquetes de %[1]s", "每包 %[1]s"},
	{"%[1]s, %[2]s a batch", "%[1]s, %[2]s por tanda", "%[1]s，每批 %[2]s"},
	{"%[1]s, the first day counted", "%[1]s, contando el primero", "%[1]s，含第一天"},
	{"When it runs out:", "Cuando se acaba:", "用完了怎么办："},
	{"To taste as strong as %[1]s, take %[2]s.", "Para que sepa tan fuerte como %[1]s, usa %[2]s.", "要和%[1]s味道一样浓，用%[2]s。"},
	{"In %[1]s, take %[2]s instead.", "Para %[1]s, usa en su lugar %[2]s.", "用于%[1]s时，改用%[2]s。"},
	{"CAUTION: this adds %[1]s. Tell whoever takes the orders.", "PRECAUCIÓN: esto trae %[1]s. Avisa a quien toma los pedidos.", "注意：这样会带入%[1]s。务必告知负责点单的服务员。"},
	{"It can be left out of %[1]s.", "Se puede omitir en %[1]s.", "用于%[1]s时可以不放。"},
	{"The next delivery: %[1]s.", "La próxima entrega: %[1]s.", "下次到货：%[1]s。"},
	{"There is more only when %[1]s has more to work with.", "Solo hay más cuando haya más que trabajar en %[1]s.", "只有%[1]s有更多原料时，才会有更多。"},
	{"Make more: %[1]s.", "Haz más: %[1]s.", "再做一些：%[1]s。"},
	{"Another batch of %[1]s takes %[2]s to give this.", "Otra tanda de %[1]s tarda %[2]s hasta que esto sale.", "再做一批%[1]s，要 %[2]s才能取出。"},
	{"Make another batch of %[1]s, if what it takes is on hand.", "Haz otra tanda de %[1]s, si hay lo que lleva.", "料够的话，再做一批%[1]s。"},
	{"In the standing week, %[1]s must start by %[2]s %[3]s at the latest for %[4]s on %[5]s, and for anything that needs it sooner.",
		"En la semana habitual, %[1]s debe empezar a más tardar el %[2]s a las %[3]s para el servicio de %[4]s del %[5]s y para lo que lo necesite antes.",
		"在常规的一周里，%[1]s最晚要在%[2]s %[3]s 开始，才赶得上%[5]s的%[4]s以及在那之前的需要。"},
	{"Nobody is there to begin it at that hour.", "A esa hora no hay nadie para empezarlo.", "那个时间没有人开始做。"},
	{"No dish sells less without it.", "Sin esto, ningún plato se vende menos.", "缺了它，没有菜品会少卖。"},
	{"Stops: %[1]s.", "Se detiene: %[1]s.", "停卖：%[1]s。"},
	{"Sells fewer: %[1]s.", "Se vende menos: %[1]s.", "少卖：%[1]s。"},
	{"Goes on: %[1]s.", "Sigue: %[1]s.", "照卖：%[1]s。"},

	// dishes
	{"Dishes", "Platos", "菜品"},
	{"A special: offered when something is left over.", "Especial: se ofrece cuando sobra algo.", "今日特色：有富余时才供应。"},
	{"On one portion:", "En una porción:", "一份的用料："},
	{"Depends on: %[1]s. In the standing week none is sold without every one of these.", "Depende de: %[1]s. En la semana habitual, si falta uno cualquiera no se vende ninguno.", "离不开：%[1]s。在常规的一周里，缺其中任何一样，这道菜一份也卖不出。"},
	{"Allergens, and what brings each. Ask the person in charge before you answer a guest.",
		"Alérgenos, y por qué camino llega cada uno. Pregunta a la persona responsable antes de contestar a un cliente.",
		"过敏原，以及各自的来路。回答客人之前，先问负责人。"},
	{"Read the packages all the same.", "Lee los envases de todos modos.", "仍请查看包装。"},
	{"May contain %[1]s", "Puede contener %[1]s", "可能含有%[1]s"},

	// weak points
	{"Where the kitchen is weak", "Dónde es débil la cocina", "厨房的薄弱之处"},
	{"No single loss costs a portion.", "Ninguna pérdida por sí sola cuesta una porción.", "没有哪一样单独缺了会少卖一份。"},
	{"The worst losses, and what goes with them. Look after these first.", "Lo peor que se puede perder, y lo que se lleva consigo. Cuida esto primero.", "损失最大的几样，以及随之卖不出的菜。先照看好这些。"},
	{"Portions lost: %[1]s. Hit: %[2]s.", "Porciones perdidas: %[1]s. Afecta a: %[2]s.", "少卖份数：%[1]s。受影响：%[2]s。"},

	// cautions
	{"Allergens here: %[1]s. Clean hands, boards and tools before the next thing.", "Alérgenos aquí: %[1]s. Limpia manos, tablas y utensilios antes de lo siguiente.", "这里有过敏原：%[1]s。做下一样之前，先洗净手、砧板和用具。"},
	{"Raw here: %[1]s. Keep it away from ready food; wash hands, boards and knives after it.", "Crudo aquí: %[1]s. Mantenlo lejos de la comida lista; después lava manos, tablas y cuchillos.", "这里有生料：%[1]s。与即食食品分开放；用后洗净手、砧板和刀。"},
	{"By %[1]s. Local code and licensed judgement come first.", "Según %[1]s. La norma local y quien esté autorizado para juzgar van primero.", "依据 %[1]s。当地法规和有资格判断的人优先。"},
	{"Cautions", "Precauciones", "安全提示"},
	{"Say \"behind you\" and \"hot\" when you carry something hot.", "Di «¡atrás!» y «¡caliente!» cuando lleves algo caliente.", "端着烫的东西走动时，要喊“后面有人”“小心烫”。"},
	{"What this kitchen's food code says, %[1]s:", "Lo que dice la norma alimentaria que sigue esta cocina, %[1]s:", "这个厨房所遵循的食品法规（%[1]s）规定："},
	{"Cool cooked food from %[1]s to %[2]s (%[3]s).", "Enfría lo cocinado de %[1]s a %[2]s (%[3]s).", "熟食从 %[1]s 冷却到 %[2]s（%[3]s）。"},
	{"Cool cooked food from %[1]s to %[2]s within %[3]s (%[4]s).", "Enfría lo cocinado de %[1]s a %[2]s en %[3]s como máximo (%[4]s).", "熟食要在 %[3]s内从 %[1]s 冷却到 %[2]s（%[4]s）。"},
	{"Cook poultry, wild game and what is stuffed to %[1]s (%[2]s).", "Cuece las aves, la caza silvestre y lo relleno a %[1]s (%[2]s).", "禽肉、野味和填馅食品须烧到 %[1]s（%[2]s）。"},
	{"Cook what is ground, tenderised or injected, and eggs that are not cooked as they are ordered, to %[1]s for %[2]s seconds (%[3]s).", "Cuece lo molido, ablandado o inyectado, y los huevos que no se hacen al momento, a %[1]s durante %[2]s segundos (%[3]s).", "绞碎、嫩化或注射过的肉和鱼，以及不是现点现做的蛋，须烧到 %[1]s 并保持 %[2]s 秒（%[3]s）。"},
	{"Cook fish, whole cuts, and eggs that are cooked as they are ordered to %[1]s for %[2]s seconds (%[3]s); roasts have a table of their own.", "Cuece el pescado, las piezas enteras y los huevos hechos al momento a %[1]s durante %[2]s segundos (%[3]s); los asados tienen su propia tabla.", "鱼、整块肉和现点现做的蛋须烧到 %[1]s 并保持 %[2]s 秒（%[3]s）；整块烤肉另有专表。"},
	{"Reheat what is to be held hot to %[1]s for %[2]s seconds within %[3]s (%[4]s).", "Recalienta lo que se va a mantener caliente a %[1]s durante %[2]s segundos, en %[3]s como máximo (%[4]s).", "复热后要保温的食品，须在 %[3]s内热到 %[1]s 并保持 %[2]s 秒（%[4]s）。"},
	{"Reheat to %[1]s within %[2]s of leaving the cold (%[3]s).", "Recalienta a %[1]s en %[2]s como máximo desde que sale del frío (%[3]s).", "离开冷藏后 %[2]s内复热到 %[1]s（%[3]s）。"},
	{"Reheat to %[1]s (%[2]s).", "Recalienta a %[1]s (%[2]s).", "复热到 %[1]s（%[2]s）。"},
	{"Hold hot above %[1]s (%[2]s).", "Mantén caliente a más de %[1]s (%[2]s).", "保温存放（热藏）须高于 %[1]s（%[2]s）。"},
	{"Hold hot at %[1]s or above (%[2]s).", "Mantén caliente a %[1]s o más (%[2]s).", "保温存放（热藏）须在 %[1]s 或以上（%[2]s）。"},
	{"Hold cold at %[1]s or below (%[2]s).", "Mantén frío a %[1]s o menos (%[2]s).", "冷藏须在 %[1]s 或以下（%[2]s）。"},
	{"Days that ready food may be held cold, the day made being day 1: %[1]s at most (%[2]s).", "Días que se guarda en frío lo ya preparado, siendo el día 1 el de elaboración: %[1]s como máximo (%[2]s).", "即食食品冷藏天数，制作当天算第 1 天：最多 %[1]s 天（%[2]s）。"},
	{"It gives no figure here: ask the person in charge.", "No da ninguna cifra aquí: pregunta a la persona responsable.", "其中没有给出数字：请问负责人。"},
	{"For cooking, no figure is in %[1]s: ask the person in charge.", "Para la cocción no hay ninguna cifra en %[1]s: pregunta a la persona responsable.", "%[1]s没有给出做熟的温度：请问负责人。"},
	{"For cooling, no figure is in %[1]s: ask the person in charge.", "Para el enfriamiento no hay ninguna cifra en %[1]s: pregunta a la persona responsable.", "%[1]s没有给出冷却的数字：请问负责人。"},
	{"Where local code, or someone licensed to judge, says otherwise, do as they say. This guide does not replace training.",
		"Si las normas locales, o alguien autorizado para juzgar, dicen otra cosa, haz lo que digan. Esta guía no sustituye ninguna formación.",
		"当地法规或有资格判断的人另有说法时，照他们说的做。本指南不能代替培训。"},

	// questions
	{"Questions", "Preguntas", "练习题"},
	{"Answers", "Respuestas", "答案"},
	{"Question %[1]s", "Pregunta %[1]s", "第 %[1]s 题"},
	{"More than one answer may be right. The answers are at the end.", "Puede haber más de una respuesta correcta. Las respuestas están al final.", "正确答案可能不止一个。答案在最后。"},
	{"Every batch of %[1]s is lost, all week. Which of these can you still sell in full?", "Se pierden todas las tandas de %[1]s, toda la semana. ¿Qué puedes seguir vendiendo por completo?", "整周里每一批%[1]s都损失了。下面哪些还能照常全部卖出？"},
	{"There is no %[1]s all week. Which of these can you not sell at all?", "No hay %[1]s en toda la semana. ¿Qué no puedes vender en absoluto?", "整周都没有%[1]s。下面哪些一份也卖不出？"},
	{"There is no more %[1]s. What can go into %[2]s instead?", "Se acabó: %[1]s. ¿Qué puede ir en su lugar en %[2]s?", "%[1]s用完了。做%[2]s时可以改用什么？"},
	{"Where does %[1]s come from?", "¿De dónde sale %[1]s?", "%[1]s从哪道工序来？"},
	{"How much %[1]s goes on one portion of %[2]s?", "¿Cuánto lleva de %[1]s una porción de %[2]s?", "一份%[2]s要用多少%[1]s？"},
	{"%[1]s is made on %[2]s. By how long the kitchen file says it keeps, what is its last day, if nothing that went in is older?",
		"%[1]s se hace el %[2]s. Según lo que dice el archivo de la cocina sobre su conservación, ¿cuál es su último día, si nada de lo que lleva es más viejo?",
		"%[1]s在%[2]s做好。按厨房文件写的可存天数，如果所用的料都不是更早的，哪一天是最后一天？"},
	{"When does %[1]s come?", "¿Cuándo llega %[1]s?", "%[1]s什么时候到货？"},
	{"%[2]s begins at %[3]s. When is %[1]s out?", "%[2]s empieza a las %[3]s. ¿A qué hora sale %[1]s?", "%[2]s在 %[3]s 开始。%[1]s什么时候取出？"},
	{"Which of these always has this allergen: %[1]s?", "¿Cuál de estos tiene siempre este alérgeno: %[1]s?", "下面哪些一定含有这种过敏原：%[1]s？"},
}
