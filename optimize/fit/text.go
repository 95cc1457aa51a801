package fit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ullage/model"
)

// Correlations that are worth telling, and that make a difference to flights.
const (
	strong = 0.5
	firm   = 0.7
)

// Text returns the result as people read it.
func (r *Result) Text() string {
	var out strings.Builder
	r.writePlanned(&out)
	for i := range r.Logs {
		r.Logs[i].write(&out)
	}
	r.writeObserved(&out)
	for i := range r.Estimates {
		e := &r.Estimates[i]
		if !e.Fitted {
			fmt.Fprintf(&out, "  %-17s stays at %s: %s\n", e.Key, e.Text(e.Was), e.Why)
			continue
		}
		fmt.Fprintf(&out, "  %-17s %s ± %s, was %s\n", e.Key, e.written(e.Value), r.interval(e), e.Text(e.Was))
		if e.AtTheRange {
			fmt.Fprintf(&out, "  %-17s at the end of its range: what is off lies elsewhere; check masses, pressure and conditions\n", "")
		}
	}
	fmt.Fprintf(&out, "  ± is half of a %g %% interval; condition number %.0f", 100*Confidence, r.Condition)
	if !r.Converged {
		out.WriteString("; not converged: take the values with care")
	}
	out.WriteString("\n")
	for _, pair := range r.pairs(strong) {
		fmt.Fprintf(&out, "  %s\n", pair)
	}
	out.WriteString("  masses, pressure, fill and weather count as exact: what is off in them is in these values\n")
	return out.String()
}

// writePlanned says first what the fit took from the plan: what the day had
// different is in the values that follow. It is one line where all logs share it.
func (r *Result) writePlanned(out *strings.Builder) {
	names, plans := []string{"observed"}, [][]string{r.Planned}
	if len(r.Planned) == 0 && len(r.Logs) > 0 {
		names, plans = nil, nil
	}
	for i := range r.Logs {
		names, plans = append(names, r.Logs[i].Name), append(plans, r.Logs[i].Planned)
	}
	same := !slices.ContainsFunc(plans, func(plan []string) bool { return !slices.Equal(plan, plans[0]) })
	for i, plan := range plans {
		if len(plan) == 0 || same && i > 0 {
			continue
		}
		place := ""
		if !same {
			place = names[i] + ": "
		}
		fmt.Fprintf(out, "%splanned, not measured: %s. If the day had others, give them by --conditions or --flight: the error is in the values below\n", place, strings.Join(plan, ", "))
	}
}

// farOff is how many of its deviations an observation may be away from the
// fitted model before that is told.
const farOff = 2

// writeObserved says what became of the observations, and what the fit stands on.
func (r *Result) writeObserved(out *strings.Builder) {
	if len(r.Observed) > 0 {
		out.WriteString("observed\n")
	}
	for i := range r.Observed {
		o := &r.Observed[i]
		unit := model.Figures[o.Figure].Unit
		if unit == "1" {
			unit = ""
		}
		fmt.Fprintf(out, "  %s; by the brief %s, fitted %s", o.Text, strings.TrimSpace(short(o.Before)+" "+unit), strings.TrimSpace(short(o.After)+" "+unit))
		if off := o.Off(); math.Abs(off) > farOff {
			fmt.Fprintf(out, ", %.1f deviations away: what is off lies elsewhere; check masses, pressure and conditions", math.Abs(off))
		}
		out.WriteString("\n")
	}
	if len(r.Logs) == 0 {
		fmt.Fprintf(out, "fitted to %s, ± taken for one standard deviation, and to what was known of each value before\n", plural(r.Readings, "observation"))
		return
	}
	fmt.Fprintf(out, "fitted to %d readings, worth %.0f independent ones\n", r.Readings, r.Worth)
}

func (l *LogFit) write(out *strings.Builder) {
	fmt.Fprintf(out, "%s\n", l.Name)
	if l.Bench {
		fmt.Fprintf(out, "  test stand: impulse %.1f N s; by the brief %.1f N s, fitted %.1f N s; noise %.2g N, release at %s s, the cell's zero at %s N\n",
			l.Highest, l.Before, l.After, l.Noise[thrustChannel], plusMinus(l.LiftOff, l.LiftOffInterval), plusMinus(l.Level, l.LevelInterval))
		l.writeNotes(out)
		return
	}
	fmt.Fprintf(out, "  highest %.1f m; by the brief %.1f m, fitted %.1f m with %.1f %% of the brief's impulse\n", l.Highest, l.Before, l.After, 100*l.Impulse)
	fmt.Fprintf(out, "  lift-off at %s s, pad at %s m of the log\n", plusMinus(l.LiftOff, l.LiftOffInterval), plusMinus(l.Level, l.LevelInterval))
	out.WriteString("  noise")
	for of, unit := range [channels]string{"m", "m/s", "m/s2", "N"} {
		if l.Has[of] && channel(of) != figureChannel {
			fmt.Fprintf(out, " %s %.2g %s", channelNames[of], l.Noise[of], unit)
		}
	}
	fmt.Fprintf(out, "; the log claims %.3g kJ, the charge holds %.3g kJ\n", l.Claims/1e3, l.Holds/1e3)
	l.writeNotes(out)
}

func (l *LogFit) writeNotes(out *strings.Builder) {
	for _, note := range l.Notes {
		fmt.Fprintf(out, "  %s\n", note)
	}
}

// pairs words the fitted quantities that are correlated by so much or more.
func (r *Result) pairs(least float64) (texts []string) {
	var keys []string
	for i := range r.Estimates {
		if r.Estimates[i].Fitted {
			keys = append(keys, r.Estimates[i].Key)
		}
	}
	for a, row := range r.Correlation {
		for b := range row[:a] {
			if c := row[b]; math.Abs(c) >= least {
				texts = append(texts, fmt.Sprintf("%s and %s hang together by %+.2f", keys[b], keys[a], c))
			}
		}
	}
	return texts
}

// plusMinus writes a value to the digits that half of its interval leaves.
func plusMinus(v, half float64) string {
	if half <= 0 {
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return strconv.FormatFloat(v, 'f', places(half), 64) + " ± " + strconv.FormatFloat(half, 'f', places(half), 64)
}
