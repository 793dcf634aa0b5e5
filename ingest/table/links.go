package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"
)

// parts are the unpacked parts of a workbook, by lower-case name.
type parts map[string]*zip.File

// partName is the name by which a part is known.
func partName(f *zip.File) string { return strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/")) }

// openParts opens a packed workbook, checks that its parts stay within the
// limit by their declared sizes, and then that each unpacks to what it
// declares: the library that reads the cells would pass over a part that is
// cut off.
func openParts(data []byte, limit int64) (parts, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	left := uint64(limit)
	p := parts{}
	for _, f := range z.File {
		if f.UncompressedSize64 > left {
			return nil, fmt.Errorf("wanted a workbook of at most %s unpacked, found more (hint: split the workbook)", inMiB(limit))
		}
		left -= f.UncompressedSize64
		if name := partName(f); p[name] == nil {
			p[name] = f
		}
	}
	for _, f := range z.File {
		if err := unpacks(f); err != nil {
			return nil, fmt.Errorf("wanted an .xlsx workbook, found a damaged one: %s: %w (hint: open it and save it again)", f.Name, err)
		}
	}
	return p, nil
}

func unpacks(f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	_, err = io.Copy(io.Discard, r)
	return err
}

// read returns the text of a part, nil if there is none.
func (p parts) read(name string) []byte {
	f := p[strings.ToLower(name)]
	if f == nil {
		return nil
	}
	r, err := f.Open()
	if err != nil {
		return nil
	}
	defer r.Close()
	text, err := io.ReadAll(r)
	if err != nil {
		return nil
	}
	return text
}

// decode reads a part as XML into v; a part that is missing or broken leaves
// v as far as it came, for links are never worth an error.
func (p parts) decode(name string, v any) {
	// The error is passed over on purpose: see above.
	_ = xml.NewDecoder(bytes.NewReader(p.read(name))).Decode(v)
}

// relations reads which part or address each id of a part stands for.
func (p parts) relations(of string) map[string]string {
	var doc struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	p.decode(path.Join(path.Dir(of), "_rels", path.Base(of)+".rels"), &doc)
	targets := map[string]string{}
	for _, r := range doc.Relationship {
		targets[r.ID] = r.Target
	}
	return targets
}

const workbookPart = "xl/workbook.xml"

// sheetPart returns the name of the part that holds a sheet, "" if unknown.
func (p parts) sheetPart(sheet string) string {
	var doc struct {
		Sheet []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	p.decode(workbookPart, &doc)
	targets := p.relations(workbookPart)
	for _, s := range doc.Sheet {
		target := targets[s.ID]
		switch {
		case s.Name != sheet || target == "":
		case strings.HasPrefix(target, "/"):
			return target[1:]
		default:
			return path.Join(path.Dir(workbookPart), target)
		}
	}
	return ""
}

// A place is a cell of a sheet, both counted from 1.
type place struct{ row, column int }

// linkFormula matches a formula that makes a link of a fixed address.
var linkFormula = regexp.MustCompile(`(?i)^\s*=?\s*HYPERLINK\(\s*"([^"]+)"`)

// links finds where the cells of a sheet lead to: by the sheet's list of
// links and by HYPERLINK formulas. A link over several cells counts for the
// first. The sheet is streamed here because the library would lay out every
// cell up to the last one, which a hostile file can make a grid of billions.
func (p parts) links(sheet string) map[place]string {
	name := p.sheetPart(sheet)
	text := p.read(name)
	if !bytes.Contains(bytes.ToLower(text), []byte("hyperlink")) {
		return nil
	}
	targets := p.relations(name)
	found := map[place]string{}
	add := func(ref, target string) {
		ref, _, _ = strings.Cut(ref, ":")
		if column, row, err := excelize.CellNameToCoordinates(ref); err == nil && target != "" {
			found[place{row, column}] = target
		}
	}
	decoder := xml.NewDecoder(bytes.NewReader(text))
	ref := ""
	for {
		token, err := decoder.Token()
		if err != nil {
			return found
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch start.Name.Local {
		case "c":
			ref = attribute(start, "r")
		case "f":
			var formula string
			if decoder.DecodeElement(&formula, &start) == nil {
				if m := linkFormula.FindStringSubmatch(formula); m != nil {
					add(ref, m[1])
				}
			}
		case "hyperlink":
			add(attribute(start, "ref"), targets[attribute(start, "id")])
		}
	}
}

// attribute returns the value of an attribute by its local name.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// Creator is the core document property by which a workbook of the program's
// own is known: creator is Creator, category the name of the command that
// wrote it.
const Creator = "askance"

// IsOwnWorkbook tells whether data is a workbook that the program wrote, and
// with which command, by its core document properties.
func IsOwnWorkbook(data []byte) (command string, own bool) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return "", false
	}
	for _, f := range z.File {
		if partName(f) != "docprops/core.xml" {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return "", false
		}
		defer r.Close()
		var core struct {
			Creator  string `xml:"creator"`
			Category string `xml:"category"`
		}
		err = xml.NewDecoder(io.LimitReader(r, 1<<20)).Decode(&core)
		if err != nil && !errors.Is(err, io.EOF) {
			return "", false
		}
		return core.Category, core.Creator == Creator
	}
	return "", false
}
