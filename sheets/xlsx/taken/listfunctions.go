package taken

import (
	"errors"
	"strconv"
	"strings"
)

// values gives what a function over whole lists takes: lists, and single values. Texts in ranges are left out, as they are
// in a workbook.
func (t *translator) values(args []node) ([]expr, error) {
	var out []expr
	for _, n := range args {
		switch n.(type) {
		case area, part, named, ref:
			a, err := t.area(n)
			if err != nil {
				break // a defined name of a value
			}
			es, err := t.parts(a)
			if err != nil {
				return nil, err
			}
			for _, e := range es {
				if e.sort == isNumber || e.sort == isDate {
					out = append(out, e)
				}
			}
			continue
		}
		if _, ok := n.(missing); ok {
			out = append(out, literal(0))
			continue
		}
		e, err := t.expr(n)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	if len(out) == 0 {
		return nil, errors.New("its ranges hold no numbers")
	}
	return out, nil
}

// known leaves the empty rows of a list out.
func known(e expr) string {
	if e.gaps {
		return "known(" + e.text + ")"
	}
	return e.text
}

// parted separates lists from single values.
func parted(es []expr) (lists, singles []expr) {
	for _, e := range es {
		if e.list {
			lists = append(lists, e)
		} else {
			singles = append(singles, e)
		}
	}
	return lists, singles
}

func (t *translator) listed(args []node) ([]expr, error) {
	keep := t.lists
	t.lists = keep || t.f.places[0].cell.Array
	es, err := t.values(args)
	t.lists = keep
	if err != nil {
		return nil, err
	}
	return t.allAlike(es)
}

func saySum(t *translator, _ string, args []node) (expr, error) {
	es, err := t.listed(args)
	if err != nil {
		return expr{}, err
	}
	if es[0].sort != isNumber || es[0].unit.point {
		for i := range es {
			if es[i], err = t.toPlain(es[i]); err != nil {
				return expr{}, err
			}
		}
	}
	return total(es), nil
}

// total adds up lists and single values.
func total(es []expr) expr {
	lists, singles := parted(es)
	var parts []string
	out := expr{unit: es[0].unit, prec: tightest, plus: true}
	for _, e := range es {
		out.plus, out.doubtful = out.plus && e.plus, out.doubtful || e.doubtful
	}
	for _, l := range lists {
		parts = append(parts, "sum("+known(l)+")")
	}
	switch {
	case len(singles) == 1:
		parts = append(parts, singles[0].wrap(byProduct))
	case len(singles) > 1:
		parts = append(parts, "sum("+joinTexts(singles)+")")
	}
	if len(parts) > 1 {
		out.prec = bySum
	} else if len(singles) == 1 {
		out.prec = byProduct
		if singles[0].prec >= byProduct {
			out.prec = singles[0].prec
		}
	}
	out.text = strings.Join(parts, " + ")
	if len(parts) == 1 && len(singles) == 1 && singles[0].prec < byProduct {
		out.prec = tightest
	}
	return out
}

func joinTexts(es []expr) string {
	var parts []string
	for _, e := range es {
		parts = append(parts, e.wrap(byOr))
	}
	return strings.Join(parts, ", ")
}

var listNames = map[string]string{"MIN": "smallest", "MAX": "largest", "MEDIAN": "median", "STDEV": "deviation", "STDEV.S": "deviation"}

func sayListed(t *translator, name string, args []node) (expr, error) {
	es, err := t.listed(args)
	if err != nil {
		return expr{}, err
	}
	word := listNames[name]
	lists, singles := parted(es)
	out := expr{prec: tightest, sort: es[0].sort, unit: es[0].unit, plus: true}
	for _, e := range es {
		out.plus, out.doubtful = out.plus && e.plus, out.doubtful || e.doubtful
	}
	if len(lists) > 0 && len(es) > 1 && name != "MIN" && name != "MAX" {
		return out, errors.New("it takes several ranges together")
	}
	if name[0] == 'S' && es[0].unit.point {
		out.unit = es[0].unit.difference()
	}
	var parts []string
	for _, l := range lists {
		parts = append(parts, word+"("+known(l)+")")
	}
	for _, s := range singles {
		parts = append(parts, s.wrap(byOr))
	}
	switch {
	case len(parts) == 1 && len(lists) == 1:
		out.text = parts[0]
	case len(parts) == 1:
		out.text = word + "(list(" + parts[0] + "))"
	default:
		out.text = word + "(" + strings.Join(parts, ", ") + ")"
	}
	return out, nil
}

func sayMean(t *translator, _ string, args []node) (expr, error) {
	es, err := t.listed(args)
	if err != nil {
		return expr{}, err
	}
	lists, singles := parted(es)
	out := expr{prec: tightest, sort: es[0].sort, unit: es[0].unit}
	switch {
	case len(lists) == 0 && len(singles) > 1:
		out.text = "mean(" + joinTexts(singles) + ")"
	case len(lists) == 0:
		return singles[0], nil
	case len(lists) == 1 && len(singles) == 0:
		out.text = "mean(" + known(lists[0]) + ")"
	default:
		return out, errors.New("it takes several ranges together")
	}
	return out, nil
}

func sayMultiplied(t *translator, _ string, args []node) (expr, error) {
	es, err := t.listed(args)
	if err != nil {
		return expr{}, err
	}
	out := literal(1)
	for i, e := range es {
		if e, err = t.toPlain(e); err != nil {
			return e, err
		}
		if e.list {
			e = expr{text: "product(" + known(e) + ")", prec: tightest}
		}
		if i == 0 {
			out = e
		} else if out, err = t.product("*", out, e); err != nil {
			return out, err
		}
	}
	return out, nil
}

func sayCount(t *translator, name string, args []node) (expr, error) {
	var parts []string
	singles := 0
	for _, n := range args {
		a, err := t.area(n)
		if err != nil {
			singles++
			continue
		}
		es, err := t.parts(a)
		if err != nil {
			return expr{}, err
		}
		for _, e := range es {
			switch {
			case name == "COUNT" && (e.sort == isText || e.sort == isTruth):
			case !e.list:
				singles++
			case e.sort == isText:
				parts = append(parts, "count("+e.text+" where "+e.text+` != "")`)
			default:
				parts = append(parts, "count("+known(e)+")")
			}
		}
	}
	if singles > 0 || len(parts) == 0 {
		parts = append(parts, strconv.Itoa(singles))
	}
	out := expr{text: strings.Join(parts, " + "), prec: tightest, plus: true}
	if len(parts) > 1 {
		out.prec = bySum
	}
	return out, nil
}

// sayRows counts the rows of a range, the empty ones too.
func sayRows(t *translator, _ string, args []node) (expr, error) {
	l, err := t.listOf(args[0])
	return expr{text: "count(" + l.text + ")", prec: tightest, plus: true}, err
}

func sayRanked(t *translator, name string, args []node) (expr, error) {
	l, err := t.listOf(args[0])
	if err != nil {
		return l, err
	}
	k, err := t.plainExpr(args[1])
	if err != nil {
		return k, err
	}
	rank := k.text
	if name == "LARGE" {
		rank = "count(" + known(l) + ") + 1 - " + k.wrap(byProduct)
	}
	return expr{text: "item(sort(" + known(l) + "), " + rank + ")", prec: tightest, sort: l.sort, unit: l.unit, plus: l.plus}, nil
}

func saySumProduct(t *translator, _ string, args []node) (expr, error) {
	keep := t.lists
	t.lists = true
	defer func() { t.lists = keep }()
	var out expr
	for i, a := range args {
		e, err := t.expr(a)
		if err != nil {
			return e, err
		}
		if i == 0 {
			out = e
		} else if out, err = t.product("*", out, e); err != nil {
			return out, err
		}
	}
	if out.sort != isNumber || out.unit.point {
		var err error
		if out, err = t.toPlain(out); err != nil {
			return out, err
		}
	}
	if !out.list {
		return out, nil
	}
	return total([]expr{out}), nil
}

// sayWhere translates the functions that take the rows for which conditions hold.
func sayWhere(t *translator, name string, args []node) (expr, error) {
	var target node
	switch name {
	case "SUMIF", "AVERAGEIF":
		target = args[0]
		if len(args) == 3 {
			target = args[2]
		}
		args = args[:2]
	case "COUNTIF", "COUNTIFS":
		target = args[0]
	default:
		target, args = args[0], args[1:]
	}
	if len(args)%2 != 0 {
		return expr{}, errors.New("a range of it has no condition")
	}
	l, err := t.listOf(target)
	if err != nil {
		return l, err
	}
	gaps := l.gaps
	var conditions []string
	for i := 0; i < len(args); i += 2 {
		x, err := t.listOf(args[i])
		if err != nil {
			return x, err
		}
		c, err := t.criterion(x, args[i+1])
		if err != nil {
			return c, err
		}
		gaps = gaps || x.gaps
		conditions = append(conditions, c.wrap(byAnd+1))
	}
	chosen := expr{text: l.wrap(byOr) + " where " + strings.Join(conditions, " and "), gaps: gaps}
	out := expr{prec: tightest, sort: l.sort, unit: l.unit, plus: l.plus}
	switch {
	case strings.HasPrefix(name, "COUNT"):
		return expr{text: "count(" + known(chosen) + ")", prec: tightest, plus: true}, nil
	case l.sort == isText || l.sort == isTruth:
		return out, errText
	case strings.HasPrefix(name, "SUM"):
		if l.sort == isDate || l.unit.point {
			return out, errors.New("it adds up dates or temperatures")
		}
		out.text = "sum(" + known(chosen) + ")"
	default:
		out.text = map[byte]string{'A': "mean", 'V': "mean", 'M': "smallest"}[name[0]] + "(" + known(chosen) + ")"
		if name == "MAXIFS" {
			out.text = "largest(" + known(chosen) + ")"
		}
	}
	return out, nil
}

// criterion makes a condition on a list of what COUNTIF and its like are given: a value, or a text such as ">5".
func (t *translator) criterion(l expr, n node) (expr, error) {
	op := "="
	var k expr
	var err error
	switch x := n.(type) {
	case words:
		var rest string
		op, rest = operatorOf(x.text)
		k = t.constantOf(l, rest)
		if k.words != nil && strings.ContainsAny(*k.words, "*?~") {
			return k, errors.New("its condition has wildcards")
		}
	case binary:
		w, ok := x.a.(words)
		if x.op == "&" && ok {
			var rest string
			if op, rest = operatorOf(w.text); rest == "" && w.text != "" {
				k, err = t.expr(x.b)
				break
			}
		}
		op = "="
		k, err = t.expr(n)
	default:
		k, err = t.expr(n)
	}
	if err != nil {
		return k, err
	}
	if k.list {
		return k, errWhole
	}
	return t.compare(op, l, k)
}

// constantOf reads the value in a condition as the list holds it.
func (t *translator) constantOf(l expr, s string) expr {
	if l.sort == isNumber || l.sort == isDate {
		if x, err := strconv.ParseFloat(strings.TrimSpace(s), 64); err == nil {
			return literal(x)
		}
	}
	return literalText(s)
}

func operatorOf(s string) (op, rest string) {
	for _, o := range []string{"<>", "<=", ">=", "<", ">", "="} {
		if rest, ok := strings.CutPrefix(s, o); ok {
			return o, rest
		}
	}
	return "=", s
}
