package card

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"math"
	"strings"

	"ullage/output/palette"
	"ullage/output/text"
)

//go:embed *.html *.css evening.js
var files embed.FS

// cells is a block of numbers with its heading.
type cells struct {
	Heading string
	Cells   []cell
}

var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"style":          style,
	"policy":         func() string { return policy },
	"ifThenRule":     func() string { return ifThenRule },
	"roomHeading":    func() string { return strings.ToUpper(roomHeading[:1]) + roomHeading[1:] },
	"stoppedHeading": func() string { return strings.ToUpper(stoppedHeading[:1]) + stoppedHeading[1:] },
	"cells":          func(heading string, c []cell) cells { return cells{heading, c} },
	"tens":           func() []int { return []int{10, 20, 30, 40, 50, 60, 70, 80, 90} },
	"head":           arrowHead,
}).ParseFS(files, "*.html"))

// policy is the report's for a page without scripts: nothing is fetched, and
// nothing runs.
const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"

// style is our own file: it needs no escaping.
func style() (template.CSS, error) {
	data, err := files.ReadFile("style.css")
	return template.CSS(palette.Paper() + string(data)), err
}

// arrowHead returns the two strokes of an arrow's head at b, as path commands.
func arrowHead(a, b point) string {
	angle := math.Atan2(b.Y-a.Y, b.X-a.X)
	const length, spread = 4.0, 0.35 // mm, rad
	barb := func(turn float64) string {
		return fmt.Sprintf("M %s %s L %s %s", text.Decimals(b.X, 2), text.Decimals(b.Y, 2),
			text.Decimals(b.X-length*math.Cos(angle+turn), 2), text.Decimals(b.Y-length*math.Sin(angle+turn), 2))
	}
	return barb(spread) + " " + barb(-spread)
}

// PadHTML returns the pad card as a page that needs no other file: a sheet of A4,
// then the same on four of A6. It errs only where the template does not fit its
// data, which is the program's own fault.
func (c *Card) PadHTML() ([]byte, error) {
	v := c.padView()
	v.Design = "Pad card: " + v.Design
	return render("pad.html", v)
}

// SheetHTML returns the build sheet as a page that needs no other file: a sheet of
// numbers, then the fin at full size on as many as it takes. It errs only where
// the template does not fit its data, which is the program's own fault.
func (c *Card) SheetHTML() ([]byte, error) {
	v := c.sheetView()
	v.Design = "Build sheet: " + v.Design
	return render("sheet.html", v)
}

func render(name string, view any) ([]byte, error) {
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, name, view); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
