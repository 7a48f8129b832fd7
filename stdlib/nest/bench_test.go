package nest

import (
	"fmt"
	"testing"
)

// BenchmarkNest: pieces of five kinds with arcs on full sheets. Work beyond one layout is bounded, so that time grows with
// the pieces only where one layout is more.
func BenchmarkNest(b *testing.B) {
	for _, n := range []int{50, 100, 200, 400} {
		parts, on := mixed(n / 5)
		once := usual
		once.enough = 0
		for _, c := range []struct {
			name string
			work work
		}{{"once", once}, {"usual", usual}} {
			b.Run(fmt.Sprintf("%d pieces/%s", n, c.name), func(b *testing.B) {
				var l *Layout
				for b.Loop() {
					var err error
					if l, err = within(c.work, parts, on); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(len(l.Sheets)), "sheets")
				b.ReportMetric(100*l.Used, "%used")
				b.ReportMetric(float64(l.Steps), "steps")
			})
		}
	}
}
