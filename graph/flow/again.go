package flow

// One walker for many cases.

// For is a walker for the cases of a flow: w itself where it has walked that flow under other prices or yields.
func (w *Walker) For(f *Flow) *Walker {
	if w == nil || w.f.net != f.net {
		return NewWalker(f)
	}
	w.f = f
	return w
}
