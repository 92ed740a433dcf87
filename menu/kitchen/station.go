package kitchen

// Stations: where steps are done, and how many people there is room for.

import (
	"cmp"
	"slices"

	"go.yaml.in/yaml/v4"
)

// Bench is where a step is done that names neither a station nor a vessel.
const Bench = "bench"

// Station is a place with little room.
type Station struct {
	Name string
	Room int // people who can work there at once; 0 when the file does not say
	Pos  Pos
}

// StationOf is where a step is done: its station, else its vessel, else the bench.
func (k *Kitchen) StationOf(step int) string {
	card, vessel := &k.Steps[step], ""
	if card.Vessel >= 0 {
		vessel = k.Vessels[card.Vessel].Name
	}
	return cmp.Or(card.Station, vessel, Bench)
}

// PlaceOf is where an act on a step is done: what is done to what is out of the vessel is done at the station, or at the bench.
func (k *Kitchen) PlaceOf(step int, when When) string {
	if when == AfterOut || when == AfterEnd || when == WhenCooled {
		return cmp.Or(k.Steps[step].Station, Bench)
	}
	return k.StationOf(step)
}

// RoomAt is for how many people there is room at a station, by its place in the list; -1 and 0 when the file does not say.
func (k *Kitchen) RoomAt(name string) (at, room int) {
	if at = slices.IndexFunc(k.Stations, func(s Station) bool { return s.Name == name }); at >= 0 {
		room = k.Stations[at].Room
	}
	return at, room
}

// stations reads how much room there is. Whether anything is done there is known when the steps are read.
func (r *reader) stations(n *yaml.Node) {
	for key, body := range r.pairs(n) {
		s := Station{Name: key.Value, Pos: r.span(key).Pos}
		s.Room, _ = scalar(r, body, "room for", count)
		r.k.Stations = append(r.k.Stations, s)
		r.stationKeys = append(r.stationKeys, key)
	}
}

// checkStations finds stations at which nothing is done. All steps have been read.
func (r *reader) checkStations() {
	var names []string
	for s := range r.k.Steps {
		for _, name := range []string{r.k.StationOf(s), r.k.PlaceOf(s, AfterOut)} {
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	for _, key := range r.stationKeys {
		if !slices.Contains(names, key.Value) {
			r.fault(r.span(key), "no-such-station", r.meant(key.Value, plainly(names...), `name it as the "station" of a step`),
				"no step is done at %q", key.Value)
		}
	}
}

// checkRoom finds an act for more people than there is room for where it is done.
func (r *reader) checkRoom(step int, a *Act, where span) {
	name := r.k.PlaceOf(step, a.When)
	if at, room := r.k.RoomAt(name); at >= 0 && room > 0 && a.People > room {
		r.fault(where, "no-room", `write how many do it, or how many there is "room for"`, "%q needs %d people, but at %q there is room for %d",
			a.Name, a.People, name, room).note(r.k.Stations[at].Pos, "the room")
	}
}
