package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// exponentials are what takes e to a power by instructions that some amd64
// processors lack: the library's exponential and what is made of it, and normal
// and exponential deviates of any generator.
var (
	exponentials = []string{"Exp", "Pow", "Erf", "Erfc", "Gamma", "Sinh", "Cosh", "Tanh"} // of math
	deviates     = []string{"NormFloat64", "ExpFloat64"}
)

// TestNoExponentials holds that no code of the program takes one: it would give
// other bytes on another machine. Package air and package scatter have what
// stands for them.
func TestNoExponentials(t *testing.T) {
	files, root := 0, filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		// The palette's powers only choose between black and white.
		if d.IsDir() && (d.Name() == "testdata" || d.Name() == "palette") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok && exponential(s) {
				t.Errorf("%s: %s, want air.Power, air.Exp or a law of package scatter", set.Position(s.Pos()), s.Sel.Name)
			}
			return true
		})
		return nil
	})
	if err != nil || files < 100 {
		t.Errorf("%d files read, want all of the program (%v)", files, err)
	}
}

func exponential(s *ast.SelectorExpr) bool {
	of, ok := s.X.(*ast.Ident)
	return slices.Contains(deviates, s.Sel.Name) || ok && of.Name == "math" && slices.Contains(exponentials, s.Sel.Name)
}
