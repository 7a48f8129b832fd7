package taken

import (
	"errors"
	"regexp"
	"strings"
	"time"
)

// sayDate makes a date of year, month and day; months and days beyond the last go on into the next.
func sayDate(t *translator, _ string, args []node) (expr, error) {
	var es []expr
	for _, a := range args {
		e, err := t.plainExpr(a)
		if err != nil {
			return e, err
		}
		es = append(es, e)
	}
	y, m, d := es[0], es[1], es[2]
	if y.literal && m.literal && d.literal && y.value >= 1900 && y.value <= 9999 {
		seconds := time.Date(int(y.value), time.Month(int(m.value)), int(d.value), 0, 0, 0, 0, time.UTC).Unix()
		return expr{text: dateText(seconds), prec: tightest, sort: isDate, constant: true}, nil
	}
	return expr{text: "month_later(2000-01-01, (" + y.wrap(bySum) + " - 2000) * 12 + " + m.wrap(byProduct) + " - 1) + (" + d.wrap(bySum) + " - 1) * 1 d", prec: bySum, sort: isDate}, nil
}

func (t *translator) dateExpr(n node) (expr, error) {
	e, err := t.expr(n)
	if err != nil {
		return e, err
	}
	return t.toDate(e)
}

var dateParts = map[string]string{"YEAR": "year_of", "MONTH": "month_of", "DAY": "day_of"}

func sayDatePart(t *translator, name string, args []node) (expr, error) {
	d, err := t.dateExpr(args[0])
	return called(dateParts[name], expr{plus: true}, d), err
}

// sayWeekday numbers the days from Sunday, or with 2 from Monday.
func sayWeekday(t *translator, _ string, args []node) (expr, error) {
	d, err := t.dateExpr(args[0])
	if err != nil {
		return d, err
	}
	from := 1
	if len(args) == 2 {
		from, _ = whole(args[1])
	}
	day := called("weekday_of", expr{}, d)
	switch from {
	case 1:
		return expr{text: "mod(" + day.text + ", 7) + 1", prec: bySum, list: d.list, plus: true}, nil
	case 2:
		return day, nil
	}
	return d, errors.New("it numbers the days of the week in a rare way")
}

func sayMonthLater(t *translator, _ string, args []node) (expr, error) {
	d, err := t.dateExpr(args[0])
	if err != nil {
		return d, err
	}
	n, err := t.plainExpr(args[1])
	return called("month_later", expr{sort: isDate}, d, n), err
}

// sayMonthEnd goes to the first of the month, on by the months and one more, and a day back.
func sayMonthEnd(t *translator, _ string, args []node) (expr, error) {
	d, err := t.dateExpr(args[0])
	if err != nil {
		return d, err
	}
	n, err := t.plainExpr(args[1])
	return expr{text: "month_later(" + d.wrap(bySum) + " - (day_of(" + d.text + ") - 1) * 1 d, " + n.wrap(bySum) + " + 1) - 1 d", prec: bySum, sort: isDate, list: d.list}, err
}

func sayDays(t *translator, _ string, args []node) (expr, error) {
	a, err := t.dateExpr(args[0])
	if err != nil {
		return a, err
	}
	b, err := t.dateExpr(args[1])
	if err != nil {
		return b, err
	}
	return t.sum("-", a, b)
}

func sayWorkday(t *translator, _ string, args []node) (expr, error) {
	d, err := t.dateExpr(args[0])
	if err != nil {
		return d, err
	}
	n, err := t.plainExpr(args[1])
	if err != nil {
		return n, err
	}
	out := expr{text: "workdays(" + n.text + ", after: " + d.text, prec: tightest, sort: isDate}
	if len(args) == 3 {
		off, err := t.listOf(args[2])
		if err != nil {
			return off, err
		}
		out.text += ", off: " + off.text
	}
	out.text += ")"
	return out, nil
}

func sayJoin(t *translator, _ string, args []node) (expr, error) {
	es, err := t.exprs(args)
	if err != nil {
		return expr{}, err
	}
	out := textOf([]string{})
	for _, e := range es {
		if out, err = t.joined(out, e); err != nil {
			return out, err
		}
	}
	return out, nil
}

var decimals = regexp.MustCompile(`^0(\.0{1,9})?(%?)$`)

// sayText puts a number into a text with a fixed count of decimals, or a date.
func sayText(t *translator, _ string, args []node) (expr, error) {
	f, ok := args[1].(words)
	if !ok {
		return expr{}, errors.New("it works out how a number is written")
	}
	if strings.EqualFold(f.text, "yyyy-mm-dd") {
		d, err := t.dateExpr(args[0])
		if err != nil {
			return d, err
		}
		return inText(d, " [date]")
	}
	m := decimals.FindStringSubmatch(f.text)
	if m == nil {
		return expr{}, errors.New("it writes a number in a way that a text of the language does not have")
	}
	x, err := t.plainExpr(args[0])
	if err != nil {
		return x, err
	}
	step := "1"
	if m[1] != "" {
		step = "0." + strings.Repeat("0", len(m[1])-2) + "1"
	}
	return inText(x, " ["+step+m[2]+"]")
}

func inText(e expr, shown string) (expr, error) {
	if e.list {
		return e, errWhole
	}
	p, err := put(e, shown)
	if err != nil {
		return e, err
	}
	return textOf(p), nil
}
