package menu

import (
	"fmt"
	"os"
	"testing"
)

func TestSketch(t *testing.T) {
	f := os.Getenv("KF")
	if f == "" {
		f = "testdata/three.yaml"
	}
	src, _ := os.ReadFile(f)
	k, ds := Read("kitchen.yaml", src)
	fmt.Println(ds.Error())
	fmt.Println(k != nil)
	if k != nil {
		fmt.Printf("%+v\n%+v\n%+v\n", k.Steps, k.Dishes, k.Terms)
		for _, s := range k.Graph.Steps {
			fmt.Printf("%+v\n", s)
		}
	}
}
