package sheets_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"castwright/engine"
	"castwright/lang/program"
	"castwright/lang/value"
	"castwright/sheets"
)

// readings is how long the log of a probe is here: a reading a minute for ten weeks.
const readings = 100_000

// reading is the temperature of concrete after so many minutes, in degC to two decimals: the heat of hardening, and days.
func reading(minute int) float64 {
	hours := float64(minute) / 60
	heat := 14 * hours / 18 * math.Exp(1-hours/18)
	return math.Round(100*(18+heat+5*math.Sin(2*math.Pi*hours/24))) / 100
}

// cureLog is the log as a probe writes it.
func cureLog() string {
	start := time.Date(2027, 3, 1, 6, 0, 0, 0, time.UTC)
	var text strings.Builder
	text.WriteString("time,temp [degC]\n")
	for i := range readings {
		fmt.Fprintf(&text, "%s,%.2f\n", start.Add(time.Duration(i)*time.Minute).Format("2006-01-02T15:04"), reading(i))
	}
	return text.String()
}

// cureJob opens a job of a sheet over the log, with nothing against any of its cells.
func cureJob(t testing.TB, folder, sheet string) single {
	t.Helper()
	write(t, folder, map[string]string{"bench.sheet": sheet, "log.csv": cureLog()})
	j := openJob(t, folder)
	require.Empty(t, j.Sheets[0].Messages(), sheet)
	for _, c := range j.Sheets[0].Cells() {
		require.Equal(t, value.OK, j.State(c), c.Name)
	}
	return single{j.Sheets[0], j}
}

const cureTable = "table log from \"log.csv\" ()\n%s  | time [date] | temp [degC]\nend\n"

// cureSheet is a sheet over the log with the rules of maturity.
var cureSheet = "k = 0 degC\n" + fmt.Sprintf(cureTable, "") + `total = maturity(log.time, log.temp, k)
age = equivalent_age(log.time, log.temp)
strength = strength_at_maturity(age, 40 MPa, 0.02 h^-1, 6 h)
`

// ASTM C1074, section 6: the sums over the log in plain Go, with the mean of two readings and 273.15.
func TestMaturityOfLongLog(t *testing.T) {
	for _, datum := range []float64{0, 21.5} {
		s := cureJob(t, t.TempDir(), strings.Replace(cureSheet, "0 degC", fmt.Sprintf("%g degC", datum), 1))
		var maturity, age float64
		for i := 1; i < readings; i++ {
			middle := (reading(i-1) + reading(i)) / 2
			maturity += math.Max(0, middle-datum) * 60
			age += 60 * math.Exp(-5000*(1/(middle+273.15)-1/293.15))
		}
		strength := 40e6 * 0.02 * (age/3600 - 6) / (1 + 0.02*(age/3600-6))
		for name, want := range map[string]float64{"total": maturity, "age": age, "strength": strength} {
			assert.InEpsilon(t, want, s.Job.Value(s.cell(t, name)).Num[0], 1e-9, name)
		}
	}
}

// BenchmarkOpenLongLog reads a log of 100,000 readings, checks the sheet over it, and works it out.
func BenchmarkOpenLongLog(b *testing.B) {
	folder := b.TempDir()
	write(b, folder, map[string]string{"bench.sheet": cureSheet, "log.csv": cureLog()})
	c := newChecker(b)
	b.ReportAllocs()
	for b.Loop() {
		_, err := sheets.Open(folder, c)
		require.NoError(b, err)
	}
	perRow(b)
}

// BenchmarkLongLog works a sheet over 100,000 readings out again after an edit of k, on which each row rests: the pass of
// one column, to measure by, and maturity and its like. An edit also tells what came out otherwise than before; the engine
// by itself does not.
func BenchmarkLongLog(b *testing.B) {
	for _, k := range []struct{ name, was, is, column, line string }{
		{"column", "1.8", "1.9", "  scaled = (temp - 0 degC) * k + 32 K\n", ""},
		{"column of exp", "1.8", "1.9", "  grown = exp((temp - 0 degC) / 100 K * k)\n", ""},
		{"sum", "1.8", "1.9", "", "total = sum((log.temp - 0 degC) * k + 32 K)\n"},
		{"maturity", "0 degC", "5 degC", "", "total = maturity(log.time, log.temp, k)\n"},
		{"equivalent age", "20 degC", "23 degC", "", "age = equivalent_age(log.time, log.temp, k)\n"},
		{"strength", "5000 K", "4700 K", "", "strength = strength_at_maturity(equivalent_age(log.time, log.temp, activation: k), 40 MPa, 0.02 h^-1, 6 h)\n"},
		{"maturity reached", "0 degC", "5 degC", "", "ripe = maturity_reached(1200 K*h, log.time, log.temp, k)\n"},
		{"cure log", "0 degC", "5 degC", `  gap      = steps(time, first: 0 h)
  middle   = temp - steps(temp, first: 0 K) / 2
  gain     = if middle > k then (middle - k) * gap else 0
  maturity = running(gain)
  strength = 40 MPa * maturity / (2000 K*h + maturity)
`, ""},
	} {
		s := cureJob(b, b.TempDir(), "k = "+k.was+"\n"+fmt.Sprintf(cureTable, k.column)+k.line)
		was, is := k.was, k.is
		b.Run(k.name+"/edit", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := s.Job.Edit("k", sheets.Splice{Sheet: "bench", At: len("k = "), Was: was, Is: is})
				require.NoError(b, err)
				was, is = is, was
			}
			perRow(b)
		})
		b.Run(k.name+"/engine", func(b *testing.B) {
			id := engine.ID(s.cell(b, "k").ID)
			first := s.Job.Engine.Value(id).Num[0]
			b.ReportAllocs()
			for n := 0; b.Loop(); n++ {
				p := &program.Program{Regs: make([]program.Register, 1), Consts: []program.Const{{Reg: 0, Value: value.One(first * (1 + float64(n%2)*1e-6))}}}
				_, err := s.Job.Engine.Apply(engine.Edit{Put: []engine.Put{{ID: id, Formula: engine.Formula{Program: p}}}})
				require.NoError(b, err)
			}
			perRow(b)
		})
	}
}

func perRow(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/readings, "ns/row")
}
