package tongue

import "slices"

// Board are the sentences that the board's pages say beside [Shared], a table for each page.
var Board = slices.Concat(boardSheets,
	boardFrame,
	boardChange,
	boardKeys,
	boardStart,
	boardTaking,
	boardDraw,
	boardToday,
	boardLog,
	boardBuy,
	boardCounter,
	boardHand,
	boardClock,
	boardRest,
	boardMap,
	boardQuestions,
	boardDays,
	boardPlan,
	Answers,
)
