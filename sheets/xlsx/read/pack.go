package read

import (
	"archive/zip"
	"errors"
	"io"
	"net/url"
	"path"
	"strings"
)

// pack is the zip package of a workbook (ISO/IEC 29500-2). Names of parts are told apart without case.
type pack struct {
	limits Limits
	parts  map[string]*zip.File // by name in lower case
	order  []string             // the same names in the order of the file
	left   int64                // how many bytes may still be unpacked
	types  map[string]string    // the kind of content by name in lower case; by ".ending" where only that is stated
}

func openPack(r io.ReaderAt, size int64, l Limits) (*pack, error) {
	z, err := zip.NewReader(r, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, damaged("the zip package is torn or not whole")
	}
	p := &pack{limits: l, parts: map[string]*zip.File{}, left: l.Unpacked}
	if len(z.File) > l.Parts {
		return nil, refuse("it has more than %d parts", l.Parts)
	}
	var stated uint64
	for _, f := range z.File {
		name := strings.ReplaceAll(f.Name, `\`, "/") // some programs write their own system's paths
		if strings.HasSuffix(name, "/") {
			continue
		}
		if !inside(name) {
			return nil, refuse("the name %q in it leads out of the package, which no workbook needs", f.Name)
		}
		if f.Flags&1 != 0 {
			return nil, refuse("it is encrypted; open it with its password, and save it without one")
		}
		key := strings.ToLower(name)
		if p.parts[key] != nil {
			return nil, damaged("two parts are called %q", name)
		}
		p.parts[key] = f
		p.order = append(p.order, key)
		if stated += min(f.UncompressedSize64, 1<<40); stated > uint64(l.Unpacked) {
			return nil, p.tooLarge()
		}
	}
	return p, nil
}

// inside tells whether the name of a part stays in the package.
func inside(name string) bool {
	if name == "" || strings.HasPrefix(name, "/") || strings.ContainsAny(name, "\x00:") {
		return false
	}
	for _, step := range strings.Split(name, "/") {
		if step == "" || step == "." || step == ".." {
			return false
		}
	}
	return true
}

func (p *pack) tooLarge() error {
	return refuse("its parts unpack to more than %s", bytesText(p.limits.Unpacked))
}

// charge takes bytes off what may still be unpacked.
func (p *pack) charge(n int) error {
	if p.left -= int64(n); p.left < 0 {
		return p.tooLarge()
	}
	return nil
}

// has tells whether a part is there.
func (p *pack) has(name string) bool { return p.parts[strings.ToLower(name)] != nil }

// unpacked reads a part and counts what comes out, whatever the package says of its size.
type unpacked struct {
	io.ReadCloser
	pack *pack
	name string
	left int64
}

func (p *pack) open(name string) (*unpacked, error) {
	f := p.parts[strings.ToLower(name)]
	if f == nil {
		return nil, damaged("the part %s is missing", name)
	}
	r, err := f.Open()
	if errors.Is(err, zip.ErrAlgorithm) {
		return nil, refuse("it is packed in a way that .xlsx files do not use; save it anew")
	}
	if err != nil {
		return nil, damaged("the part %s is torn", name)
	}
	return &unpacked{r, p, name, p.limits.Part}, nil
}

func (u *unpacked) Read(b []byte) (int, error) {
	n, err := u.ReadCloser.Read(b)
	if u.left -= int64(n); u.left < 0 {
		return 0, refuse("its part %s unpacks to more than %s", u.name, bytesText(u.pack.limits.Part))
	}
	if e := u.pack.charge(n); e != nil {
		return 0, e
	}
	if err != nil && err != io.EOF {
		err = damaged("the part %s is torn", u.name)
	}
	return n, err
}

// all reads a part as it stands.
func (p *pack) all(name string) ([]byte, error) {
	u, err := p.open(name)
	if err != nil {
		return nil, err
	}
	defer u.Close()
	return io.ReadAll(u)
}

// relation leads from one part to another (ISO/IEC 29500-2, 6.5).
type relation struct {
	id     string
	kind   string // the last word of its type: worksheet, styles, comments
	target string // the name of the part; empty where it is outside the package
}

// relations are those of a part, or of the package for "". A part without any has none.
func (p *pack) relations(of string) (list []relation, err error) {
	folder, file := path.Split(of)
	name := folder + "_rels/" + file + ".rels"
	if !p.has(name) {
		return nil, nil
	}
	err = p.each(name, "Relationships", relationSpaces, func(x *part) error {
		return x.children(func(e element) error {
			if e.name != "Relationship" {
				return nil
			}
			r := relation{id: e.attr("Id")}
			r.kind = e.attr("Type")[strings.LastIndexByte(e.attr("Type"), '/')+1:]
			if !strings.EqualFold(e.attr("TargetMode"), "External") {
				if r.target, err = p.resolve(folder, e.attr("Target")); err != nil {
					return err
				}
			}
			list = append(list, r)
			return nil
		})
	})
	return list, err
}

// resolve turns the target of a relation into the name of a part. Signs that a link writes as %20 stand in the package
// as they are or in the same way.
func (p *pack) resolve(folder, target string) (string, error) {
	u, err := url.Parse(strings.ReplaceAll(target, `\`, "/"))
	if err != nil || u.Scheme != "" || u.Host != "" {
		return "", damaged("the link to %q leads nowhere", target)
	}
	if u.Path == "" {
		return "", nil // a place in the same part
	}
	plain, ok1 := pathFrom(folder, u.Path)
	written, ok2 := pathFrom(folder, u.EscapedPath())
	if !ok1 || !ok2 {
		return "", refuse("the link to %q in it leads out of the package, which no workbook needs", target)
	}
	if p.has(written) {
		return written, nil
	}
	return plain, nil
}

// pathFrom puts a path behind a folder, if it does not start at the root. It tells false for one that climbs above the root.
func pathFrom(folder, target string) (string, bool) {
	if !strings.HasPrefix(target, "/") {
		target = "/" + folder + target
	}
	depth := 0
	for _, step := range strings.Split(target[1:], "/") {
		switch step {
		case "..":
			depth--
		case "", ".":
		default:
			depth++
		}
		if depth < 0 {
			return "", false
		}
	}
	return path.Clean(target)[1:], true
}

// first gives the target of the first relation of a kind, or nothing.
func first(list []relation, kind string) string {
	for _, r := range list {
		if r.kind == kind {
			return r.target
		}
	}
	return ""
}

// readTypes reads the list of the kinds of content (ISO/IEC 29500-2, 7.2.3).
func (p *pack) readTypes() error {
	p.types = map[string]string{}
	return p.each(typesPart, "Types", typesSpaces, func(x *part) error {
		return x.children(func(e element) error {
			switch e.name {
			case "Default":
				p.types["."+strings.ToLower(e.attr("Extension"))] = e.attr("ContentType")
			case "Override":
				p.types[strings.TrimPrefix(strings.ToLower(e.attr("PartName")), "/")] = e.attr("ContentType")
			}
			return nil
		})
	})
}

// typeOf gives the kind of content of a part.
func (p *pack) typeOf(name string) string {
	name = strings.ToLower(name)
	if t := p.types[name]; t != "" {
		return t
	}
	return p.types[path.Ext(name)]
}
