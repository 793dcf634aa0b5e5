package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"
)

// An archive collects the parts of a file and writes them in a fixed order
// with a fixed date, so that the same parts give the same bytes.
type archive struct {
	out   io.Writer
	when  time.Time
	names []string
	parts map[string]*bytes.Buffer
}

// Create starts a part.
func (a *archive) Create(name string) (io.Writer, error) {
	if a.parts == nil {
		a.parts = map[string]*bytes.Buffer{}
	}
	if a.parts[name] != nil {
		return nil, errors.New("part " + name + " stands twice in the file")
	}
	a.names = append(a.names, name)
	a.parts[name] = &bytes.Buffer{}
	return a.parts[name], nil
}

// AddFS is asked for by the interface of zip writers; no part comes from a
// file tree.
func (a *archive) AddFS(fs.FS) error { return errors.ErrUnsupported }

// contents is the part that names the kinds of all others.
const contents = "[Content_Types].xml"

// Close writes the archive: the table of contents first, as readers that
// stream expect it, then the parts by name.
func (a *archive) Close() error {
	slices.SortFunc(a.names, func(x, y string) int {
		switch {
		case x == y:
			return 0
		case x == contents || y != contents && x < y:
			return -1
		}
		return 1
	})
	z := zip.NewWriter(a.out)
	for _, name := range a.names {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: a.when.UTC()})
		if err != nil {
			return err
		}
		part := a.parts[name].Bytes()
		if name == contents {
			if part, err = sortedContents(part); err != nil {
				return err
			}
		}
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return z.Close()
}

// A contentTypes is the table of contents: which kind a file suffix, or one
// part, is of.
type contentTypes struct {
	XMLName   xml.Name      `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Defaults  []contentType `xml:"Default"`
	Overrides []contentType `xml:"Override"`
}

type contentType struct {
	Extension   string `xml:",attr,omitempty"`
	PartName    string `xml:",attr,omitempty"`
	ContentType string `xml:",attr"`
}

// sortedContents puts the entries of the table of contents, whose order means
// nothing, into one order.
func sortedContents(part []byte) ([]byte, error) {
	var types contentTypes
	if err := xml.Unmarshal(part, &types); err != nil {
		return nil, fmt.Errorf("sort the table of contents: %w", err)
	}
	for _, list := range [][]contentType{types.Defaults, types.Overrides} {
		slices.SortStableFunc(list, func(a, b contentType) int {
			return strings.Compare(a.Extension+a.PartName, b.Extension+b.PartName)
		})
	}
	body, err := xml.Marshal(types)
	return append([]byte(xml.Header), body...), err
}
