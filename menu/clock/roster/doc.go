// Package roster gives work to hands: tasks that take time, follow one another, need what there is a limited number of (people by
// the hour, vessels, burners), and should be done by some minute.
//
// # Model
//
// A [Task] lasts some minutes, begins at whole minutes, is not interrupted, begins no sooner than its Release and than the tasks
// that it comes [After] allow, and uses units of resources while it is done, or at some stretch of it. Of each resource so many units
// are there at each minute. Done after its Due, it is late; how late all are, added up, is what [Schedule] makes small; what is done
// behind its Limit counts a hundredfold. With one last
// task that is due at once that is the shortest makespan: the resource-constrained project scheduling problem, with minimal time lags,
// release and due dates, and capacities that vary. It is NP-hard (Blazewicz, Lenstra and Rinnooy Kan 1983), so what is found need not
// be best; it always holds.
//
// # How it is found
//
// Tasks are laid down one by one, each at the first minute at which it fits (serial schedule generation), in order of the latest
// start that due dates and the tasks behind allow. Then each is moved as late as it may, from last to first, and back as soon as it
// may, from first to last: double justification, which makes nothing later (Valls, Ballestín and Quintanilla 2005). While anything is
// late, other orders are tried: drawn with a bias towards those that have least time left (regret-based sampling; Kolisch and Drexl
// 1996), and the best one with some tasks moved. Surveys are Kolisch and Hartmann 1999 and 2006. A number of schedules bounds the
// search, never the time; numbers are drawn from one seed, so the same tasks give the same schedule. A schedule costs about
// tasks x minutes of a window.
//
// At last what is to be done Soon stands as early as it can, and all else as late as it can: food is fresh, and a chain of work ends
// when it is needed.
//
// What fits at no minute is not placed: it begins when it may, takes nothing, and is listed apart.
package roster
