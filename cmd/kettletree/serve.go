package main

// serve: the board, the same answers in a browser.

import (
	"bufio"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	stdlog "log"
	"net"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	qr "github.com/piglig/go-qr"
	"github.com/urfave/cli/v2"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu/logbook"
)

// usualPort is where the board is served when nobody says otherwise.
const usualPort = 8410

func serveCommand() *cli.Command {
	return &cli.Command{
		Name: "serve", Usage: "open the kitchen in a browser: the board, for the counter and the pass",
		Flags: slices.Concat([]cli.Flag{
			&cli.StringFlag{Name: "port", Usage: option("N", fmt.Sprintf("where to listen; 0 for any free one (default: %d)", usualPort))},
			&cli.BoolFlag{Name: "lan", Usage: option("",
				"let other devices in, each by a code printed once; \"kettletree serve --help\" says how safe that is")},
			&cli.BoolFlag{Name: "make-cert", Usage: option("",
				"with --lan: serve over https with a certificate that this machine makes, and say how devices come to trust it")},
			&cli.StringFlag{Name: "cert", Usage: option("FILE", "serve over https with this certificate; --key names its key")},
			&cli.StringFlag{Name: "key", Usage: option("FILE", "the key of the certificate")},
		}, framing()),
		Action: serve,
	}
}

func serve(c *cli.Context) error {
	args := c.Args().Slice()
	if len(args) > 1 {
		return &usageError{fmt.Sprintf("%q comes after the kitchen file", args[1]), "give one kitchen file, or none for kitchen.yaml here"}
	}
	port := usualPort
	if text := c.String("port"); c.IsSet("port") {
		n, err := strconv.Atoi(text)
		if port = n; err != nil || n < 0 || n > 65535 {
			return &usageError{fmt.Sprintf("--port %q is not a port", text), "write a whole number from 1 to 65535, or 0 for any free one"}
		}
	}
	if (c.String("cert") == "") != (c.String("key") == "") {
		return &usageError{"--cert and --key go together", "name both files, or neither"}
	}
	switch {
	case c.Bool("make-cert") && c.IsSet("cert"):
		return &usageError{"--make-cert and --cert can't be used together", "use the certificate that you have, or let one be made"}
	case c.Bool("make-cert") && !c.Bool("lan"):
		return &usageError{"--make-cert goes with --lan", "on this machine alone browsers ask for no certificate"}
	}
	if kitchenFile(args) == "-" {
		return &usageError{"a board watches its kitchen file, and standard input has none", "name the file"}
	}
	if nothingYet(args) {
		return begin(c, args, port)
	}
	o, err := options(c, args)
	if err != nil {
		return err
	}
	k, err := open(c, o)
	if err != nil {
		return err
	}
	k.tell(c.App.ErrWriter)
	if k.week == nil {
		return errTold
	}
	certificates, err := certificate(c)
	if err != nil {
		return err
	}
	secure := len(certificates) > 0 || c.Bool("make-cert")
	config := board.Config{Options: o, Clock: now, Save: writeFile, Until: until,
		Door: board.Door{LAN: c.Bool("lan"), Secure: secure, Devices: strings.TrimSuffix(logbook.Path(kitchenFile(args)), ".logbook") + ".devices"}}
	address := net.JoinHostPort("127.0.0.1", strconv.Itoa(port))
	if c.Bool("lan") {
		if config.Door.Hosts, err = addresses(); err != nil {
			return err
		}
		address = ":" + strconv.Itoa(port)
	}
	var own *ownCertificate
	if c.Bool("make-cert") {
		if own, err = makeOwn(&config.Door); err != nil {
			return err
		}
	}
	b, err := board.New(c.Context, config)
	if err != nil {
		return err
	}
	defer b.Close()
	var listen net.ListenConfig
	listener, err := listen.Listen(c.Context, "tcp", address)
	if err != nil {
		return unheard(err, port)
	}
	port = listener.Addr().(*net.TCPAddr).Port
	tellAddress(c.App.Writer, b, config.Door, port)
	if own != nil {
		own.tell(c.App.Writer, config.Door, port)
	}
	if config.Door.LAN {
		go func() {
			for lines := bufio.NewScanner(c.App.Reader); lines.Scan(); {
				tellCodes(c.App.Writer, b, config.Door, port)
			}
		}()
	}
	if secure {
		settings := &tls.Config{Certificates: certificates, MinVersion: tls.VersionTLS12}
		if own != nil {
			settings.GetCertificate = own.certificate
		}
		listener = tls.NewListener(listener, settings)
	}
	return attend(c, b.Handler(), b.Watch, listener)
}

// certificate reads the certificate that the options name; it is nil when they name none.
func certificate(c *cli.Context) ([]tls.Certificate, error) {
	var pem [2][]byte
	for i, option := range []string{"cert", "key"} {
		name := c.String(option)
		if name == "" {
			return nil, nil
		}
		var err error
		if pem[i], err = read(c.Context, c.App.Reader, name); err != nil {
			return nil, err
		}
	}
	one, err := tls.X509KeyPair(pem[0], pem[1])
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s and %s are not a certificate and its key: %w", c.String("cert"), c.String("key"), err),
			"both must be PEM files, such as one that begins with \"-----BEGIN CERTIFICATE-----\""}
	}
	return []tls.Certificate{one}, nil
}

// unheard says why nobody can be listened to.
func unheard(err error, port int) error {
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return &hinted{fmt.Errorf("port %d is used by another program", port),
			"is the board open already? If not, choose another with --port, or any free one with --port 0"}
	case errors.Is(err, syscall.EACCES):
		return &hinted{fmt.Errorf("port %d may not be used", port), "choose one above 1023 with --port"}
	}
	return err
}

// Limits on who asks. Streams of events have deadlines of their own.
const (
	headTime  = 5 * time.Second
	readTime  = 20 * time.Second
	writeTime = 90 * time.Second
	idleTime  = 2 * time.Minute
	mostHead  = 16 << 10
	byeTime   = 5 * time.Second
)

// attend serves until the program is interrupted, and then lets what was begun come to its end.
func attend(c *cli.Context, handler http.Handler, watch func(context.Context), listener net.Listener) error {
	ctx, stop := context.WithCancel(c.Context)
	defer stop()
	server := &http.Server{Handler: handler, ReadHeaderTimeout: headTime, ReadTimeout: readTime, WriteTimeout: writeTime,
		IdleTimeout: idleTime, MaxHeaderBytes: mostHead, BaseContext: func(net.Listener) context.Context { return ctx },
		ErrorLog: stdlog.New(io.Discard, "", 0)} // faults of devices are theirs
	go watch(ctx)
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	bye, cancel := context.WithTimeout(context.WithoutCancel(ctx), byeTime)
	defer cancel()
	if err := server.Shutdown(bye); err != nil {
		_ = server.Close()
	}
	fmt.Fprintln(c.App.Writer, "The board is closed. What you logged is in the log book.")
	return nil
}

// tellAddress prints where the board is, and the codes by which other devices come in.
func tellAddress(w io.Writer, b *board.Board, d board.Door, port int) {
	fmt.Fprintf(w, "The board is open at %s://localhost:%d/ on this machine. Ctrl-C closes it.\n", scheme(d), port)
	if d.LAN {
		tellCodes(w, b, d, port)
	}
	if d.LAN && !d.Secure {
		fmt.Fprintln(w, "Nothing is encrypted: use it only on a network that you trust. --make-cert encrypts it.")
	}
}

func scheme(d board.Door) string {
	if d.Secure {
		return "https"
	}
	return "http"
}

// tellCodes makes new codes and prints them; the old ones are void then.
func tellCodes(w io.Writer, b *board.Board, d board.Door, port int) {
	if len(d.Hosts) == 0 {
		fmt.Fprintln(w, "This machine is on no network, so no other device can find it.")
		return
	}
	for _, role := range board.Roles {
		code := b.Code(role)
		at := fmt.Sprintf("%s://%s/pair?code=%s", scheme(d), net.JoinHostPort(d.Hosts[0], strconv.Itoa(port)), code)
		fmt.Fprintf(w, "\nOne device may come in to %s, with the code %s at\n%s\n%s", role, code, at, blocks(at))
	}
	fmt.Fprintln(w, "\nEach code works once. Press Enter for new ones, which cancel the old.")
}

// blocks is a QR code in half blocks, with its quiet zone: light on dark is drawn, so it shows on any terminal.
func blocks(text string) string {
	code, err := qr.EncodeText(text, qr.Low)
	if err != nil {
		return "" // an address is never too long
	}
	const quiet = 2
	dark := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < code.Size() && y < code.Size() && code.Module(x, y)
	}
	var b strings.Builder
	for y := -quiet; y < code.Size()+quiet; y += 2 {
		b.WriteString("\x1b[30;47m")
		for x := -quiet; x < code.Size()+quiet; x++ {
			b.WriteString(map[[2]bool]string{{false, false}: " ", {true, false}: "▀", {false, true}: "▄", {true, true}: "█"}[[2]bool{
				dark(x, y), dark(x, y+1)}])
		}
		b.WriteString("\x1b[0m\n")
	}
	return b.String()
}

// interfaceAddresses are all that this machine has. Tests put it on a network that is not there.
var interfaceAddresses = net.InterfaceAddrs

// addresses are those by which a network knows this machine, those of a network at home first.
func addresses() (list []string, err error) {
	all, err := interfaceAddresses()
	if err != nil {
		return nil, err
	}
	var home, other []string
	for _, a := range all {
		ip, ok := a.(*net.IPNet)
		switch {
		case !ok || !ip.IP.IsGlobalUnicast():
		case ip.IP.IsPrivate() && ip.IP.To4() != nil:
			home = append(home, ip.IP.String())
		default:
			other = append(other, ip.IP.String())
		}
	}
	return append(home, other...), nil
}
