package sheet

import "github.com/xuri/excelize/v2"

// A ChartKind is a kind of native chart.
type ChartKind int

const (
	Scatter ChartKind = iota // smooth lines through points at their own distances
	Line
	Bars
)

// A Series is one line or set of bars. X and Y are ranges, see Area.Range.
type Series struct {
	Name   string // the cell that holds the legend's words, see Area.From
	X, Y   string
	Dashed bool // told apart without colour
	Points bool // points alone, without a line
}

// A Chart is a native chart. Sizes in pixels at 96 to the inch.
type Chart struct {
	Kind           ChartKind
	Title          string
	XTitle, YTitle string
	XFormat        string // number formats of the axes, "" as in the cells
	YFormat        string
	Series         []Series
	Width, Height  uint
}

type placedChart struct {
	chart    Chart
	row, col int
}

// Chart sets a chart with its top left corner on a cell.
func (s *Sheet) Chart(c Chart, row, col int) {
	s.charts = append(s.charts, placedChart{c, row, col})
}

// inks are dark enough, and unlike enough in grey, to be told apart in print.
func inks() []string { return []string{"1F3864", "7F7F7F", "A5A5A5", "C55A11", "548235"} }

// native turns a chart into the file's form.
func (c Chart) native() *excelize.Chart {
	types := map[ChartKind]excelize.ChartType{Scatter: excelize.Scatter, Line: excelize.Line, Bars: excelize.Col}
	out := &excelize.Chart{
		Type:      types[c.Kind],
		Title:     excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.Title}}},
		Legend:    excelize.ChartLegend{Position: "bottom"},
		Dimension: excelize.ChartDimension{Width: c.Width, Height: c.Height},
		XAxis:     axis(c.XTitle, c.XFormat, false),
		YAxis:     axis(c.YTitle, c.YFormat, true),
		PlotArea:  excelize.ChartPlotArea{},
	}
	for i, s := range c.Series {
		ink := inks()[i%len(inks())]
		fill := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{ink}}
		line := excelize.LineOptions{Type: excelize.LineSolid, Width: 2, Smooth: c.Kind == Scatter, Fill: fill}
		marker := excelize.ChartMarker{Symbol: "none"}
		if s.Dashed {
			line.Dash, line.Width = excelize.LineDashDash, 1.25
		}
		if s.Points {
			line.Type = excelize.LineNone
			marker = excelize.ChartMarker{Symbol: "circle", Size: 5, Fill: fill}
		}
		out.Series = append(out.Series, excelize.ChartSeries{Name: s.Name, Categories: s.X, Values: s.Y, Line: line, Marker: marker, Fill: fill})
	}
	return out
}

func axis(title, format string, lines bool) excelize.ChartAxis {
	a := excelize.ChartAxis{MajorGridLines: lines, TickLabelPosition: excelize.ChartTickLabelLow, Font: excelize.Font{Color: "262626", Size: 9}, Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: title}}}}
	if format != "" {
		a.NumFmt = excelize.ChartNumFmt{CustomNumFmt: format}
	}
	return a
}
