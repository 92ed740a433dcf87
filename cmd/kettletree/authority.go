package main

// serve --make-cert: a certificate of this machine's own, so that paired devices can be served by https, and go on without a network.
//
// A device that keeps pages asks for a certificate that it trusts, and nobody certifies addresses of a network at home. So this machine
// has an authority of its own, which a device is asked to trust once, and which certifies the board's addresses. The authority may certify
// names and addresses of home networks only (name constraints, RFC 5280, 4.2.1.10): whoever gets hold of its key can't pose as
// any place on the internet. Both lie in the user's configuration folder, not beside the kitchen file, which is copied and handed on.

import (
	"bytes"
	"cmp"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"kettletree/cmd/kettletree/board"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

const (
	// Phones refuse certificates that hold longer than 825 days, even of an authority that they were told to trust.
	certificateLife = 397 * 24 * time.Hour
	authorityLife   = 10 * 365 * 24 * time.Hour
	renewBefore     = 30 * 24 * time.Hour
	backdated       = 24 * time.Hour // for devices whose clock is slow
)

// homeRanges are the addresses that the authority may certify: private ones (RFC 1918, RFC 4193), those of the link and of this machine,
// and those that providers share out (RFC 6598), which private networks over the internet use, too.
var homeRanges = []string{"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"}

// homeNames are the domains whose names it may certify: "local" is that of the link (RFC 6762).
var homeNames = []string{"localhost", "local"}

// ownCertificate is the certificate of this machine's own, and the authority behind it.
type ownCertificate struct {
	folder  string
	hosts   []string // names and addresses that it certifies
	left    []string // addresses that it may not certify, for they are none of a home network
	now     func() time.Time
	caMade  bool // the authority is new: no device can know it
	caCert  *x509.Certificate
	caKey   crypto.Signer
	mu      sync.Mutex
	serving *tls.Certificate
}

// makeCertificate reads the certificate that was made before, or makes one that certifies the hosts.
func makeCertificate(folder string, hosts []string, now func() time.Time) (*ownCertificate, error) {
	o := &ownCertificate{folder: folder, now: now, hosts: []string{"localhost", "127.0.0.1", "::1"}}
	for _, h := range hosts {
		switch ip := net.ParseIP(h); {
		case ip == nil && strings.HasSuffix(h, ".local") || ip != nil && atHome(ip):
			o.hosts = append(o.hosts, h)
		default:
			o.left = append(o.left, h)
		}
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	err := o.authority()
	if err == nil {
		err = o.renew()
	}
	if damaged, ok := errors.AsType[*damagedError](err); ok {
		return nil, &hinted{damaged, "remove " + folder + " to begin again; devices then have to trust the new one"}
	}
	return o, err
}

func atHome(ip net.IP) bool {
	return slices.ContainsFunc(homeRanges, func(r string) bool {
		_, network, err := net.ParseCIDR(r)
		return err == nil && network.Contains(ip)
	})
}

// damagedError tells of a file that is not what was written.
type damagedError struct{ file, why string }

func (e *damagedError) Error() string { return e.file + ": " + e.why }

// Files of the folder.
const (
	authorityFile, authorityKeyFile     = "authority.pem", "authority-key.pem"
	certificateFile, certificateKeyFile = "board.pem", "board-key.pem"
)

// authority reads the authority, or makes one where there is none or it is about to end.
func (o *ownCertificate) authority() error {
	pair, err := o.read(authorityFile, authorityKeyFile)
	if err != nil {
		return err
	}
	if pair != nil && o.now().Add(certificateLife).Before(pair.Leaf.NotAfter) {
		signer, ok := pair.PrivateKey.(crypto.Signer)
		if !ok || !pair.Leaf.IsCA {
			return &damagedError{filepath.Join(o.folder, authorityFile), "it is no authority"}
		}
		o.caCert, o.caKey = pair.Leaf, signer
		return nil
	}
	host, _ := os.Hostname() // a machine without a name has none in its certificate
	t := o.template(authorityLife)
	t.Subject = pkix.Name{CommonName: strings.TrimSpace("kettletree board " + host)}
	t.IsCA, t.BasicConstraintsValid, t.MaxPathLenZero = true, true, true
	t.KeyUsage = x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature
	t.PermittedDNSDomainsCritical, t.PermittedDNSDomains = true, homeNames
	for _, r := range homeRanges {
		_, network, err := net.ParseCIDR(r)
		if err != nil {
			return err
		}
		t.PermittedIPRanges = append(t.PermittedIPRanges, network)
	}
	o.caCert, o.caKey, err = o.issue(t, authorityFile, authorityKeyFile, nil, nil)
	o.caMade = true
	return err
}

// renew reads the certificate, or makes one where there is none, it is about to end, or it certifies other hosts or is of another authority.
func (o *ownCertificate) renew() error {
	pair, err := o.read(certificateFile, certificateKeyFile)
	if err != nil {
		return err
	}
	if pair != nil && o.now().Add(renewBefore).Before(pair.Leaf.NotAfter) && pair.Leaf.CheckSignatureFrom(o.caCert) == nil &&
		!slices.ContainsFunc(o.hosts, func(h string) bool { return pair.Leaf.VerifyHostname(h) != nil }) {
		o.serving = pair
		return nil
	}
	t := o.template(certificateLife)
	t.Subject = pkix.Name{CommonName: "kettletree board"}
	t.KeyUsage, t.ExtKeyUsage = x509.KeyUsageDigitalSignature, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	t.BasicConstraintsValid = true
	for _, h := range o.hosts {
		if ip := net.ParseIP(h); ip != nil {
			t.IPAddresses = append(t.IPAddresses, ip)
		} else {
			t.DNSNames = append(t.DNSNames, h)
		}
	}
	leaf, key, err := o.issue(t, certificateFile, certificateKeyFile, o.caCert, o.caKey)
	if err != nil {
		return err
	}
	o.serving = &tls.Certificate{Certificate: [][]byte{leaf.Raw}, PrivateKey: key, Leaf: leaf}
	return nil
}

func (o *ownCertificate) template(life time.Duration) *x509.Certificate {
	return &x509.Certificate{NotBefore: o.now().Add(-backdated).UTC(), NotAfter: o.now().Add(life).UTC()}
}

// issue makes a key and a certificate of it, by an authority or by itself for none, and keeps both. The key is kept first: a certificate
// without its key is of no use to anybody.
func (o *ownCertificate) issue(t *x509.Certificate, file, keyFile string, by *x509.Certificate, byKey crypto.Signer) (*x509.Certificate, crypto.Signer, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	if by == nil {
		by, byKey = t, key
	}
	raw, err := x509.CreateCertificate(rand.Reader, t, by, key.Public(), byKey)
	if err != nil {
		return nil, nil, err
	}
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, nil, err
	}
	err = keepPrivate(filepath.Join(o.folder, keyFile), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}))
	if err == nil {
		err = keepPrivate(filepath.Join(o.folder, file), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw}))
	}
	if err != nil {
		return nil, nil, err
	}
	cert, err := x509.ParseCertificate(raw)
	return cert, key, err
}

// read reads a certificate with its key; nil where either is not there, as when the program ended between the two.
func (o *ownCertificate) read(file, keyFile string) (*tls.Certificate, error) {
	cert, err := os.ReadFile(filepath.Join(o.folder, file))
	var key []byte
	if err == nil {
		key, err = os.ReadFile(filepath.Join(o.folder, keyFile))
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		if strings.Contains(err.Error(), "private key does not match") { // the key was renewed, its certificate not
			return nil, nil
		}
		return nil, &damagedError{filepath.Join(o.folder, file), err.Error()}
	}
	return &pair, nil
}

// keepPrivate writes a file whole or not at all, for nobody else to read.
func keepPrivate(name string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".new") // which makes it 0600
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

// certificate is the one to serve; one that is about to end is renewed, so that a board that is never closed goes on.
func (o *ownCertificate) certificate(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.now().Add(renewBefore).After(o.serving.Leaf.NotAfter) {
		if err := o.renew(); err != nil && o.now().After(o.serving.Leaf.NotAfter) {
			return nil, err
		}
	}
	return o.serving, nil
}

// trust is what a device is asked to trust.
func (o *ownCertificate) trust() []byte { return o.caCert.Raw }

// print is the authority's fingerprint, by which people tell it from another.
func (o *ownCertificate) print() string {
	sum := sha256.Sum256(o.caCert.Raw)
	var b bytes.Buffer
	for i, x := range sum {
		if i > 0 {
			b.WriteString(map[bool]string{true: ":", false: " "}[i%8 != 0])
		}
		fmt.Fprintf(&b, "%02X", x)
	}
	return b.String()
}

// label is a name that may stand before ".local".
var label = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9-]{0,61}[A-Za-z0-9])?$`)

// ownName is the machine's name in its network, "" for none.
func ownName() string {
	name, err := os.Hostname()
	if err != nil {
		return ""
	}
	name, _, _ = strings.Cut(name, ".")
	if !label.MatchString(name) || strings.EqualFold(name, "localhost") {
		return ""
	}
	return strings.ToLower(name) + ".local"
}

// makeOwn makes the certificate for a door, by the addresses that it knows and the machine's name.
func makeOwn(door *board.Door) (*ownCertificate, error) {
	folder, err := certificateFolder()
	if err != nil {
		return nil, err
	}
	if name := ownName(); name != "" && len(door.Hosts) > 0 {
		door.Hosts = append(slices.Clone(door.Hosts), name)
	}
	own, err := makeCertificate(folder, door.Hosts, instant)
	if err != nil {
		return nil, err
	}
	door.Trust = own.trust()
	slices.SortStableFunc(door.Hosts, func(a, b string) int { // what is certified is said first
		return cmp.Compare(slices.Index(own.left, a), slices.Index(own.left, b))
	})
	return own, nil
}

// tell says how a device comes to trust the board, in the words that every device has for it.
func (o *ownCertificate) tell(w io.Writer, d board.Door, port int) {
	made := "Devices that trust it already need nothing."
	if o.caMade {
		made = "It is new: no device trusts it yet."
	}
	fmt.Fprintf(w, "\nThe certificate is this machine's own, and lies in %s. %s\n", o.folder, made)
	if len(o.left) > 0 {
		fmt.Fprintf(w, "It may certify addresses of a home network only, so not %s.\n", strings.Join(o.left, ", "))
	}
	if len(d.Hosts) == 0 {
		return
	}
	fmt.Fprintf(w, `A device that does not trust it warns that the connection is not private. Once on each device, before it is paired:
1. Open https://%s/certificate there, go on past the warning, and keep the file.
2. In the device's settings, search for "certificate": install the file as one of an authority (a "CA certificate").
   Where it is called a profile, install the profile, then switch on full trust for it in the settings about certificates.
3. The device shows a fingerprint. Go on only if it is this one (SHA-256):
   %s
4. Open the board again: the warning is gone, and pages stay there without a network.
Whoever goes on past the warning without this can use the board, but not without a network.
The authority can certify home networks only. Still, keep its folder to yourself, and let no device trust a file whose fingerprint is another.
`, net.JoinHostPort(d.Hosts[0], strconv.Itoa(port)), o.print())
}

// certificateFolder is where the machine's own certificate lies.
func certificateFolder() (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", &hinted{fmt.Errorf("there is no folder for the certificate: %w", err), "give one of your own with --cert and --key"}
	}
	return filepath.Join(folder, "kettletree", "https"), nil
}
