package logbook

// Days and times as workbooks keep them: as a number of days (ECMA-376, 18.17.4).

import (
	"math"
	"strconv"
	"time"

	"kettletree/graph/measure"
)

// day0 is the day from which a workbook counts, for dates from March 1900 on; one with 1904 counts from the first of that year.
var day0 = time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)

// days1904 lie between the two.
const days1904 = 1462

// serialDate is a day that a workbook keeps as a number of days, with the minute where it has one; what can't be one stays.
func serialDate(text string, in sheet) string {
	days, err := strconv.ParseFloat(text, 64)
	if err != nil || !(days >= 61 && days < 2958466) { // from March 1900 to the year 9999
		return text
	}
	if b, ok := in.(*bookSheet); ok && b.from1904 {
		days += days1904
	}
	minutes := int64(math.Round(days * 24 * 60))
	moment := day0.Add(time.Duration(minutes%(24*60))*time.Minute).AddDate(0, 0, int(minutes/(24*60)))
	if minutes%(24*60) == 0 {
		return moment.Format(time.DateOnly)
	}
	return moment.Format(Minutes)
}

// serialClock is a time of day that a workbook keeps as a share of a day, to the minute; what can't be one stays.
func serialClock(text string) string {
	share, err := strconv.ParseFloat(text, 64)
	if err != nil || !(share >= 0 && share < 2958466) {
		return text
	}
	minutes := int(math.Round((share-math.Floor(share))*24*60)) % (24 * 60)
	return measure.FormatClock(minutes)
}
