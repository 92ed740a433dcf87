package main

// What the source says of the structs that are encoded: the comments at types and fields, and the values of constants
// that a comment names in [brackets].

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// source is what was read of the packages of the project.
type source struct {
	packages map[string]*pkgSource // by import path
	faults   []string              // of comments
}

// sourceTree is the folder of the project; tests begin in the folder of their package.
var sourceTree, _ = filepath.Abs(filepath.Join("..", ".."))

// pkgSource is a package: its types, and what its constants and variables are set to.
type pkgSource struct {
	fset   *token.FileSet
	types  map[string]typeSource
	values map[string]ast.Expr
	consts map[string][]ast.Expr // by the named type that they have
}

type typeSource struct {
	about  string
	fields map[string]fieldSource
}

// fieldSource is a field: the comment above it, the one behind it, and whether it stands right below another field.
type fieldSource struct {
	above, behind string
	follows       bool
}

// read reads a package, once.
func (s *source) read(path string) *pkgSource {
	if p := s.packages[path]; p != nil {
		return p
	}
	p := &pkgSource{token.NewFileSet(), map[string]typeSource{}, map[string]ast.Expr{}, map[string][]ast.Expr{}}
	s.packages[path] = p
	files, err := filepath.Glob(filepath.Join(sourceTree, strings.TrimPrefix(path, "kettletree/"), "*.go"))
	if err != nil || len(files) == 0 {
		panic("mistake: no source of " + path)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(p.fset, name, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			panic(err) // it was compiled
		}
		for _, d := range file.Decls {
			if d, ok := d.(*ast.GenDecl); ok {
				for _, spec := range d.Specs {
					p.declare(d, spec)
				}
			}
		}
	}
	return p
}

// declare takes one declaration in.
func (p *pkgSource) declare(d *ast.GenDecl, spec ast.Spec) {
	switch spec := spec.(type) {
	case *ast.ValueSpec:
		for i, name := range spec.Names {
			if i < len(spec.Values) {
				p.values[name.Name] = spec.Values[i]
				if of, ok := spec.Type.(*ast.Ident); ok && d.Tok == token.CONST {
					p.consts[of.Name] = append(p.consts[of.Name], spec.Values[i])
				}
			}
		}
	case *ast.TypeSpec:
		about := spec.Doc
		if about == nil {
			about = d.Doc
		}
		t := typeSource{about.Text(), map[string]fieldSource{}}
		if fields, ok := spec.Type.(*ast.StructType); ok {
			line := 0 // on which the field before ends
			for _, f := range fields.Fields.List {
				of := fieldSource{f.Doc.Text(), f.Comment.Text(), p.fset.Position(f.Pos()).Line == line+1}
				for _, name := range f.Names {
					t.fields[name.Name] = of
				}
				line = p.fset.Position(f.End()).Line
			}
		}
		p.types[spec.Name.Name] = t
	}
}

// value is what a constant or a list of them is set to, as JSON writes it; "" when it is not known.
func (p *pkgSource) value(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Value
	case *ast.Ident:
		return p.value(p.values[e.Name])
	case *ast.CompositeLit:
		return p.list(e.Elts)
	}
	return ""
}

// list puts "or" before the last of some values.
func (p *pkgSource) list(some []ast.Expr) string {
	var all []string
	for _, e := range some {
		if v := p.value(e); v != "" && v != `""` {
			all = append(all, v)
		}
	}
	if last := len(all) - 1; last > 0 {
		return strings.Join(all[:last], ", ") + " or " + all[last]
	}
	return strings.Join(all, "")
}

var (
	reference = regexp.MustCompile(`\[(\w+)\]`)
	layout    = regexp.MustCompile(`\b2006-01-02(?:[ T]15:04(?::05)?)?|\b15:04\b`)
	goName    = regexp.MustCompile(`(^|\. |: |)\b([A-Z]\w*)\b`)
)

// shown is the moment by which a layout of the source is shown on the page.
var shown = time.Date(2026, time.November, 24, 22, 30, 0, 0, time.UTC)

// aboutType is what the source says of a struct.
func (p *jsonPage) aboutType(t reflect.Type) string {
	of, ok := p.source.read(t.PkgPath()).types[t.Name()]
	if !ok || of.about == "" {
		p.source.faults = append(p.source.faults, t.String()+" has no comment")
	}
	about := layout.ReplaceAllStringFunc(of.about, shown.Format)
	return p.said(t, afterSubject(about, t.Name()))
}

// fieldNote is what the page says of a field: its kind and what the source says, whether that stands above the field, and
// whether the field stands right below another.
type fieldNote struct {
	kind, about    string
	form           string // of a date or time, by its layout
	above, follows bool
}

// note reads what is said of a field. A layout of time in the comment of a text is its kind. A struct that is said in
// place is said to be what it is.
func (p *jsonPage) note(f field) fieldNote {
	pkg := p.source.read(f.in.PkgPath())
	of := pkg.types[f.in.Name()].fields[f.Name]
	a := fieldNote{kind: p.kind(f.Type, f.optional), about: of.behind, above: of.behind == "" && of.above != "", follows: of.follows}
	if a.above {
		a.about = afterSubject(of.above, f.Name)
	}
	if form := layout.FindString(a.about); form != "" && strings.Contains(a.kind, "text") {
		word := "date"
		if a.form = form; form != time.DateOnly {
			word = strconv.Quote(shown.Format(form))
		}
		a.kind = strings.Replace(a.kind, "text", word, 1)
		a.about = strings.Trim(strings.Replace(a.about, form, "", 1), " ,;:\n")
		a.about = strings.NewReplacer(", ,", ",", " ;", ";", "; ;", ";", ": ;", ";").Replace(a.about)
	}
	a.about = strings.TrimSuffix(p.said(f.in, a.about), ".")
	if of := structOf(f.Type); p.inlined[of] && p.uses[of] == 1 && a.about == "" {
		a.about = strings.TrimSuffix(p.aboutType(of), ".")
	} else if of := f.Type; of.PkgPath() != "" && of.Kind() == reflect.String {
		values := p.source.read(of.PkgPath())
		a.about = strings.TrimPrefix(a.about+"; "+values.list(values.consts[of.Name()]), "; ")
	}
	return a
}

// afterSubject takes away the name, and the verb behind it, with which Go's comments begin.
func afterSubject(about, name string) string {
	return regexp.MustCompile(`^`+name+` (?:is|are|says|tells) `).ReplaceAllString(about, "")
}

// said puts a comment of a struct into the words of the page: fields by their keys, constants by their values.
func (p *jsonPage) said(t reflect.Type, about string) string {
	pkg := p.source.read(t.PkgPath())
	key := func(name string) string {
		for _, f := range encoded(t) {
			if f.Name == name {
				return f.key
			}
		}
		return ""
	}
	about = reference.ReplaceAllStringFunc(about, func(found string) string {
		name := reference.FindStringSubmatch(found)[1]
		if k := key(name); k != "" {
			return k
		}
		if value := pkg.value(pkg.values[name]); value != "" {
			return value
		}
		for of, printed := range p.names {
			if of.PkgPath() == t.PkgPath() && of.Name() == name {
				return printed
			}
		}
		p.source.faults = append(p.source.faults, fmt.Sprintf("%s: a comment speaks of %s, which is no field, no constant and not on the page", t, found))
		return found
	})
	// A capital at the beginning of a sentence may be an ordinary word, unless there is another one within.
	about = goName.ReplaceAllStringFunc(about, func(found string) string {
		m := goName.FindStringSubmatch(found)
		if k := key(m[2]); k != "" && (m[1] == "" || strings.ToLower(m[2][1:]) != m[2][1:]) {
			return m[1] + k
		}
		return found
	})
	paragraphs := strings.Split(strings.TrimSpace(about), "\n\n")
	for i := range paragraphs {
		paragraphs[i] = strings.Join(strings.Fields(paragraphs[i]), " ")
	}
	return strings.Join(paragraphs, "\n\n")
}
