//go:build browser

package main

// A device of the network, by plain http, where no page is kept: it is paired once, outlives a board that ends and begins again, and is put
// out. A tap into a gap never ends on the browser's own page of faults.

import (
	"net"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// networked is the address by which a network knows this machine: one kept for examples (RFC 5737), which browsers of these tests take to
// an address of loopback, so that there are devices where no network is. To a browser it is as far away as any other.
const networked, loopedBack = "192.0.2.2", "127.0.0.2"

// onNetwork puts this machine on it.
func onNetwork(t *testing.T) {
	was := interfaceAddresses
	t.Cleanup(func() { interfaceAddresses = was })
	interfaceAddresses = func() ([]net.Addr, error) {
		return []net.Addr{&net.IPNet{IP: net.ParseIP(networked), Mask: net.CIDRMask(24, 32)}}, nil
	}
}

func TestBrowserDevices(t *testing.T) {
	onNetwork(t)
	o := openBoard(t, "first-pot", "--lan")
	here, err := url.Parse(o.url)
	require.NoError(t, err)
	o.write("received 8 each chicken for 67.20")
	code := regexp.MustCompile(`to write, with the code (\S+) at`).FindStringSubmatch(o.printed.String())
	require.Len(t, code, 2)
	there := *o
	there.url = "http://" + net.JoinHostPort(networked, here.Port())
	far, near := openTab(t, &there, phone), openTab(t, o, tablet)

	far.open("/")
	far.sees("Pair this device")
	far.sound("pair")
	far.focuses("#code")
	far.keys("ABCD-EFGH")
	far.tap("Pair")
	far.sees("That code doesn't work")
	far.focuses("#code")
	far.keys(strings.ToLower(code[1]))
	far.focuses("#name")
	far.keys("phone by the pass")
	far.do(chromedp.KeyEvent(kb.Enter))
	far.sees("chicken soup")
	assert.False(t, evaluate[bool](far, `"serviceWorker" in navigator`), "by plain http no page is kept")
	near.open("/devices")
	near.sees("phone by the pass")
	near.sees("Can write. Last seen Tue 24 Nov 14:05")
	near.sound("devices")

	// The board ends, and somebody taps; it is there again, and the page comes. Nobody has to pair anything.
	o.stop()
	far.sees("Offline. Showing 14:05")
	far.tap("Log")
	far.until(`document.documentElement.classList.contains("waiting")`, "the tap is seen to be taken")
	far.seesNot("paired again")
	far.sound("gap")
	again := serveFolder(t, o.folder, "--lan", "--port", here.Port())
	require.Equal(t, o.url, again.url)
	far.sees("Latest entries")
	far.seesNot("Offline")
	far.sees("received 8 each chicken")

	// It is put out, and told so at once: that is another thing than to be offline.
	near.open("/devices")
	near.tap("Put out phone by the pass")
	near.sees("No other device is paired")
	far.sees("This device has to be paired again")
	far.seesNot("Offline")
	far.sound("put-out")
	far.tap("Today")
	far.sees("Pair this device")
	status, _ := again.write("sold 2 chicken soup at lunch")
	assert.Equal(t, 200, status)
	assert.NotContains(t, evaluate[string](far, "document.body.innerText"), "chicken soup")
}
