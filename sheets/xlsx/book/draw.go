package book

import (
	_ "image/png" // the library asks for the size of a picture
	"regexp"

	"github.com/xuri/excelize/v2"
)

const (
	chartWidth  = 560
	chartHeight = 300
)

// The lines of a chart differ in their dashes and marks as well as in colour, so that they are told apart in print.
var (
	lineColours = []string{blue, rust, grey, bronze, "5B7F95", "2F6F62"}
	lineDashes  = []excelize.LineDashType{excelize.LineDashSolid, excelize.LineDashDash, excelize.LineDashSysDot, excelize.LineDashSysDashDot, excelize.LineDashLgDash, excelize.LineDashSysDash}
	lineMarks   = []string{"circle", "square", "triangle", "diamond", "x", "plus"}
)

// setDrawings puts the charts and pictures on a sheet.
func setDrawings(f *excelize.File, _ *Book, s *Sheet, _ *styles) error {
	if len(s.Charts)+len(s.Pictures) == 0 {
		return nil
	}
	for i := range s.Charts {
		c := &s.Charts[i]
		if err := f.AddChart(s.Name, c.At, c.excelize()); err != nil {
			return err
		}
	}
	for _, p := range s.Pictures {
		scale := p.Scale
		if scale == 0 {
			scale = 1
		}
		err := f.AddPictureFromBytes(s.Name, p.At, &excelize.Picture{Extension: ".png", File: p.PNG, Format: &excelize.GraphicOptions{
			AltText: p.Alt, Positioning: "oneCell", LockAspectRatio: true, ScaleX: scale, ScaleY: scale,
		}})
		if err != nil {
			return err
		}
	}
	return nil
}

// excelize gives the chart as the library has it. Both forms have an axis of categories: the library's scatter charts
// break the schema.
func (c *Chart) excelize() *excelize.Chart {
	x := &excelize.Chart{
		Type:         map[ChartKind]excelize.ChartType{Line: excelize.Line, Bar: excelize.Col}[c.Kind],
		Format:       excelize.GraphicOptions{AltText: c.Alt, Positioning: "oneCell"}, // see anchored
		Dimension:    excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		Legend:       excelize.ChartLegend{Position: "bottom"},
		VaryColors:   to(false),
		XAxis:        axis(c.AxisX),
		YAxis:        axis(c.AxisY),
		Title:        words(c.Title, 12, true),
		ShowBlanksAs: "gap",
	}
	x.YAxis.MajorGridLines = true
	if c.Alt == "" {
		x.Format.AltText = c.Title
	}
	if c.Width > 0 {
		x.Dimension.Width = uint(c.Width)
	}
	if c.Height > 0 {
		x.Dimension.Height = uint(c.Height)
	}
	if len(c.Series) == 1 {
		x.Legend.Position = "none"
	}
	for i, s := range c.Series {
		n := i % len(lineColours)
		fill := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{lineColours[n]}}
		series := excelize.ChartSeries{Name: s.Name, Categories: c.Categories, Values: s.Values, Fill: fill}
		if c.Kind == Line {
			series.Line = excelize.LineOptions{Type: excelize.LineSolid, Dash: lineDashes[n], Fill: fill, Width: 1.75}
			series.Marker = excelize.ChartMarker{Symbol: lineMarks[n], Size: 5, Fill: fill}
		}
		x.Series = append(x.Series, series)
	}
	return x
}

// axis shows numbers as their cells do: a date as a date.
func axis(title string) excelize.ChartAxis {
	return excelize.ChartAxis{Title: words(title, 9, false), Font: excelize.Font{Family: face, Size: 9, Color: grey}, NumFmt: excelize.ChartNumFmt{SourceLinked: true}}
}

func words(s string, points float64, bold bool) excelize.ChartTitle {
	if s == "" {
		return excelize.ChartTitle{}
	}
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: s, Font: &excelize.Font{Family: face, Size: points, Bold: bold, Color: ink}}}}
}

// spanned is how the library anchors a chart that is to keep its size: between two corners, of which the second lies in
// the first cell, so that a reader's program would press the chart into that cell.
var spanned = regexp.MustCompile(`<xdr:twoCellAnchor editAs="oneCell">(<xdr:from>.*?</xdr:from>)<xdr:to><xdr:col>\d+</xdr:col><xdr:colOff>(\d+)</xdr:colOff>` +
	`<xdr:row>\d+</xdr:row><xdr:rowOff>(\d+)</xdr:rowOff></xdr:to>(.*?)</xdr:twoCellAnchor>`)

// anchored gives the charts of a drawing a corner and a size instead.
func anchored(drawing []byte) []byte {
	return spanned.ReplaceAll(drawing, []byte(`<xdr:oneCellAnchor>$1<xdr:ext cx="$2" cy="$3"/>$4</xdr:oneCellAnchor>`))
}
