package kitchen

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// daily is a service with the same hours on all days.
func daily(name string, from, to int) Service {
	s := Service{Name: name}
	for d := range s.Hours {
		s.Hours[d] = Hours{from, to}
	}
	return s
}

// TestOnlyService: a kitchen that names no services has one, whether or not a forecast of it speaks of any.
func TestOnlyService(t *testing.T) {
	for _, text := range []string{
		"kitchen: Soup Bar\nbought: {leek: {price: 1/kg}}\nspecials: {soup: {price: 5, takes: [200 g leek], at most: 9}}\n",
		"kitchen: Soup Bar\nbought: {leek: {price: 1/kg}}\ndishes: {soup: {price: 5, takes: [200 g leek], sells: 9}}\n",
		"kitchen: Soup Bar\nbought: {leek: {price: 1/kg}}\ndishes: {soup: {price: 5, takes: [200 g leek]}}\n",
	} {
		k, faults := Read("kitchen.yaml", []byte(text))
		require.NotNil(t, k, "%v", faults)
		require.Equal(t, []Service{daily("service", 12*60, 22*60)}, k.Services)
	}
}
