package drawing

import (
	"math"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/lang/kind"
	"castwright/lang/show"
)

var (
	dates   = &show.Spec{Form: kind.Date}
	celsius = &show.Spec{Form: kind.Point, Units: []show.Unit{{Symbol: "degC", Ratio: big.NewRat(1, 1), Offset: big.NewRat(27315, 100)}}}
	mpa     = unit("MPa", 1_000_000, 1)
	kelvinH = unit("K*h", 3600, 1)
)

// seconds reads a date as the engine holds it.
func seconds(text string) float64 {
	t, err := time.Parse("2006-01-02T15:04", text)
	if err != nil {
		panic(err)
	}
	return float64(t.Unix())
}

func ofUnit(s *show.Spec, per float64, xs ...float64) (out []float64) {
	for _, x := range xs {
		out = append(out, x*per)
	}
	return out
}

func strength() *Chart {
	return &Chart{
		X: Values{"maturity", kelvinH, ofUnit(kelvinH, 3600, 400, 800, 1600, 3200, 6400)},
		Y: []Values{{"strength", mpa, ofUnit(mpa, 1e6, 5.2, 11.8, 18.9, 25.1, 31.8)}},
	}
}

// cureLog are two days of temperatures, one of them unknown.
func cureLog() *Chart {
	c := &Chart{Title: "Cure log", X: Values{"time", dates, nil}, Y: []Values{{"log.temp", celsius, nil}, {"log.air", celsius, nil}}}
	for i := range 17 {
		c.X.SI = append(c.X.SI, seconds("2027-03-01T07:30")+float64(i)*3*3600)
		c.Y[0].SI = append(c.Y[0].SI, 273.15+20+13*math.Sin(float64(i)/8))
		c.Y[1].SI = append(c.Y[1].SI, 273.15+16+4*math.Sin(float64(i)*math.Pi/4))
	}
	c.Y[0].SI[5] = math.NaN()
	return c
}

func TestGoldenChart(t *testing.T) {
	golden(t, "strength.svg", strength().Plot().SVG())
	golden(t, "log.svg", cureLog().Plot().SVG())
	golden(t, "strength-80.txt", []byte(strength().Sketch(Screen{80, false})))
	golden(t, "log-40.txt", []byte(cureLog().Sketch(Screen{40, false})))
	golden(t, "log-80-ascii.txt", []byte(cureLog().Sketch(Screen{80, true})))
}

func TestTicks(t *testing.T) {
	number := &show.Spec{}
	for _, c := range []struct {
		name      string
		spec      *show.Spec
		low, high float64
		most      int
		want      []string
	}{
		{"tens", number, 0, 35, 8, []string{"0", "5", "10", "15", "20", "25", "30", "35"}},
		{"tenths", number, 0.05, 0.42, 8, []string{"0.05", "0.1", "0.15", "0.2", "0.25", "0.3", "0.35", "0.4"}},
		{"through 0", number, -3, 3, 6, []string{"-3", "-2", "-1", "0", "1", "2", "3"}},
		{"large", number, 1e6, 3e6, 4, []string{"1000000", "1500000", "2000000", "2500000", "3000000"}},
		{"rows are whole", nil, 1, 3, 9, []string{"1", "2", "3"}},
		{"hours", dates, seconds("2027-03-01T07:30"), seconds("2027-03-01T19:00"), 6, []string{"08:00", "10:00", "12:00", "14:00", "16:00", "18:00"}},
		{"over midnight", dates, seconds("2027-03-01T07:30"), seconds("2027-03-02T07:30"), 6, []string{"12:00", "18:00", "2027-03-02", "06:00"}},
		{"days", dates, seconds("2027-02-27T12:00"), seconds("2027-03-03T00:00"), 6, []string{"2027-02-28", "2027-03-01", "2027-03-02", "2027-03-03"}},
		{"months", dates, seconds("2027-01-15T00:00"), seconds("2027-06-20T00:00"), 6, []string{"2027-02-01", "2027-03-01", "2027-04-01", "2027-05-01", "2027-06-01"}},
		{"years", dates, seconds("2019-05-01T00:00"), seconds("2027-06-20T00:00"), 6, []string{"2020-01-01", "2022-01-01", "2024-01-01", "2026-01-01"}},
	} {
		v := &Values{Spec: c.spec}
		var got []string
		for _, k := range v.ticks(c.low, c.high, c.most) {
			got = append(got, k.words)
			assert.True(t, k.at >= c.low-1e-9 && k.at <= c.high+1e-9, c.name)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// TestPlaces compares where a value is drawn with where the marks of the axes say that it is.
func TestPlaces(t *testing.T) {
	c := strength()
	f, ok := c.frame(fieldWidth, fieldDepth, c.Y, 8)
	require.True(t, ok)
	runs := c.runs(&c.Y[0], f)
	require.Len(t, runs, 1)
	for i, p := range runs[0] {
		assert.InDelta(t, c.X.Spec.Number(c.X.SI[i]), f.left+p.X/fieldWidth*(f.right-f.left), 1e-9)
		assert.InDelta(t, c.Y[0].Spec.Number(c.Y[0].SI[i]), f.low+p.Y/fieldDepth*(f.high-f.low), 1e-9)
	}
	assert.Zero(t, f.left, "begins at 0, which is near")
	assert.Equal(t, 35.0, f.high)
	log := cureLog()
	f, _ = log.frame(fieldWidth, fieldDepth, log.Y, 8)
	assert.Equal(t, 10.0, f.low, "a temperature has no 0 to begin at")
	assert.Len(t, log.runs(&log.Y[0], f), 2, "a gap where a value is missing")
}

func TestChartEdges(t *testing.T) {
	row := func(n int) Values {
		v := Values{Name: "row"}
		for i := range n {
			v.SI = append(v.SI, float64(i+1))
		}
		return v
	}
	nan := math.NaN()
	for _, c := range []struct {
		name  string
		chart Chart
		some  bool
	}{
		{"nothing known", Chart{X: row(2), Y: []Values{{"y", mpa, []float64{nan, nan}}}}, false},
		{"no row", Chart{X: row(0), Y: []Values{{"y", mpa, nil}}}, false},
		{"one row", Chart{X: row(1), Y: []Values{{"y", mpa, []float64{5e6}}}}, true},
		{"all the same", Chart{X: row(3), Y: []Values{{"y", mpa, []float64{0, 0, 0}}}}, true},
		{"vast", Chart{X: row(2), Y: []Values{{"y", &show.Spec{}, []float64{-1.7e308, 1.7e308}}}}, true},
		{"tiny", Chart{X: row(2), Y: []Values{{"y", &show.Spec{}, []float64{1e-300, 2e-300}}}}, true},
		{"far dates", Chart{X: Values{"t", dates, []float64{-6e10, 2.5e11}}, Y: []Values{{"y", mpa, []float64{1, 2}}}}, true},
	} {
		d := c.chart.Plot()
		assert.Equal(t, c.some, d != nil, c.name)
		assert.Equal(t, c.some, c.chart.Sketch(Screen{60, false}) != "", c.name)
		if d != nil {
			assert.NotContains(t, string(d.SVG()), "NaN", c.name)
			assert.NotContains(t, string(d.SVG()), "Inf", c.name)
		}
	}
}

// TestLongLine keeps the extremes of a line of many values in a file of few.
func TestLongLine(t *testing.T) {
	c := Chart{X: Values{Name: "row"}, Y: []Values{{"y", &show.Spec{}, nil}}}
	for i := range 200_000 {
		c.X.SI = append(c.X.SI, float64(i+1))
		c.Y[0].SI = append(c.Y[0].SI, math.Sin(float64(i)/2e4))
	}
	c.Y[0].SI[123_456] = 3
	f, _ := c.frame(fieldWidth, fieldDepth, c.Y, 8)
	run := thinned(c.runs(&c.Y[0], f)[0])
	assert.LessOrEqual(t, len(run), mostPoints)
	top := 0.0
	for i, p := range run {
		top = max(top, p.Y)
		assert.True(t, i == 0 || p.X >= run[i-1].X)
	}
	assert.InDelta(t, f.y(3), top, 1e-9)
	assert.Less(t, len(c.Plot().SVG()), 200_000)
}
