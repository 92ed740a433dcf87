package tongue

// tastes are what is said of measures and trials at the stove.
var tastes = Sentences{
	{"%[1]s (last 7 days: %[2]s)", "%[1]s (últimos 7 días: %[2]s)", "%[1]s（近 7 天：%[2]s）"},
	{", above the aim", ", por encima del objetivo", "，高于目标"},
	{", below the aim", ", por debajo del objetivo", "，低于目标"},
	{"at most %[1]s", "como máximo %[1]s", "不超过 %[1]s"},
	{"%[1]s on a scale to %[2]s", "%[1]s (escala hasta %[2]s)", "%[1]s（满分 %[2]s）"},
	{"trial, this batch: %[1]s", "prueba, esta tanda: %[1]s", "试验，本批：%[1]s"},
	{"then measure: %[1]s", "después mide: %[1]s", "然后测量：%[1]s"},
}
