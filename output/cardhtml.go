package output

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"math"
)

//go:embed card
var cardFiles embed.FS

// cells is a block of numbers with its heading.
type cells struct {
	Heading string
	Cells   []cell
}

var cardTemplates = template.Must(template.New("").Funcs(template.FuncMap{
	"style":      cardStyle,
	"ifThenRule": func() string { return ifThenRule },
	"cells":      func(heading string, c []cell) cells { return cells{heading, c} },
	"tens":       func() []int { return []int{10, 20, 30, 40, 50, 60, 70, 80, 90} },
	"head":       arrowHead,
}).ParseFS(cardFiles, "card/*.html"))

// cardStyle is our own file: it needs no escaping.
func cardStyle() (template.CSS, error) {
	data, err := cardFiles.ReadFile("card/style.css")
	return template.CSS(data), err
}

// arrowHead returns the two strokes of an arrow's head at b, as path commands.
func arrowHead(a, b point) string {
	angle := math.Atan2(b.Y-a.Y, b.X-a.X)
	const length, spread = 4.0, 0.35 // mm, rad
	barb := func(turn float64) string {
		return fmt.Sprintf("M %s %s L %s %s", decimals(b.X, 2), decimals(b.Y, 2),
			decimals(b.X-length*math.Cos(angle+turn), 2), decimals(b.Y-length*math.Sin(angle+turn), 2))
	}
	return barb(spread) + " " + barb(-spread)
}

// PadHTML returns the pad card as a page that needs no other file: a sheet of
// A4, then the same on four of A6.
func (c *Card) PadHTML() ([]byte, error) {
	v := c.padView()
	v.Design = "Pad card: " + v.Design
	return render("pad.html", v)
}

// SheetHTML returns the build sheet as a page that needs no other file: a sheet
// of numbers, then the fin at full size on as many as it takes.
func (c *Card) SheetHTML() ([]byte, error) {
	v := c.sheetView()
	v.Design = "Build sheet: " + v.Design
	return render("sheet.html", v)
}

func render(name string, view any) ([]byte, error) {
	var out bytes.Buffer
	if err := cardTemplates.ExecuteTemplate(&out, name, view); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
