package main

import (
	"crypto/tls"
	"crypto/x509"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A device that trusts what the board gives it reaches the board by https, and no device that does not; the next time, it is the same.
func TestServeMakesACertificate(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	o := openBoard(t, "first-pot", "--lan", "--make-cert")
	require.True(t, strings.HasPrefix(o.url, "https://localhost:"), o.url)
	_, err := (&http.Client{Timeout: 5 * time.Second}).Get(o.url)
	var unknown x509.UnknownAuthorityError
	require.ErrorAs(t, err, &unknown)

	careless := &http.Client{Timeout: 5 * time.Second, Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} // who goes on past the warning
	got, err := careless.Get(o.url + "/certificate")
	require.NoError(t, err)
	raw, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	require.NoError(t, got.Body.Close())
	authority, err := x509.ParseCertificate(raw)
	require.NoError(t, err)
	assert.True(t, authority.IsCA)

	pool := x509.NewCertPool()
	pool.AddCert(authority)
	o.client.Transport = &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}
	status, page, header := o.get("/")
	assert.Equal(t, 200, status)
	assert.Contains(t, page, "chicken soup")
	assert.Contains(t, header.Get("Set-Cookie"), "Secure")
	said := o.printed.String()
	hosts, err := addresses()
	require.NoError(t, err)
	if len(hosts) > 0 {
		for _, want := range []string{"It is new", "install the file as one of an authority", "/certificate there"} {
			assert.Contains(t, said, want)
		}
		at := regexp.MustCompile(`Open (https://\S+)/certificate there`).FindStringSubmatch(said)
		require.Len(t, at, 2)
		first, err := url.Parse(at[1])
		require.NoError(t, err)
		if !strings.HasSuffix(first.Hostname(), ".local") {
			o.client.Timeout = 5 * time.Second
			got, err := o.client.Get(at[1] + "/certificate")
			require.NoError(t, err, "what is said first is certified")
			require.NoError(t, got.Body.Close())
		}
		assert.NotContains(t, said, "Nothing is encrypted")
	}
	o.stop()

	again := openBoard(t, "first-pot", "--lan", "--make-cert")
	again.client.Transport = o.client.Transport
	status, _, _ = again.get("/")
	assert.Equal(t, 200, status)
	if len(hosts) > 0 {
		assert.Contains(t, again.printed.String(), "Devices that trust it already need nothing.")
	}
}

func ownFor(t *testing.T, folder string, now time.Time, hosts ...string) *ownCertificate {
	t.Helper()
	o, err := makeCertificate(folder, hosts, func() time.Time { return now })
	require.NoError(t, err)
	return o
}

// verified is whether a device that trusts the authority takes the certificate for a host.
func (o *ownCertificate) verified(host string, at time.Time) error {
	pool := x509.NewCertPool()
	pool.AddCert(o.caCert)
	served, err := o.certificate(nil)
	if err != nil {
		return err
	}
	_, err = served.Leaf.Verify(x509.VerifyOptions{DNSName: host, Roots: pool, CurrentTime: at})
	return err
}

func TestOwnCertificate(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "own")
	now := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
	first := ownFor(t, folder, now, "192.168.178.23", "fd00::17", "pass.local", "203.0.113.9")
	assert.True(t, first.caMade)
	assert.Equal(t, []string{"203.0.113.9"}, first.left, "an address of the internet (RFC 5737) is not certified")
	for _, host := range []string{"localhost", "127.0.0.1", "192.168.178.23", "fd00::17", "pass.local"} {
		assert.NoError(t, first.verified(host, now), host)
	}
	assert.Error(t, first.verified("203.0.113.9", now))
	assert.LessOrEqual(t, first.serving.Leaf.NotAfter.Sub(first.serving.Leaf.NotBefore), 825*24*time.Hour, "longer ones are refused by phones (from memory)")
	for _, file := range []string{authorityFile, authorityKeyFile, certificateFile, certificateKeyFile} {
		info, err := os.Stat(filepath.Join(folder, file))
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), file)
	}
	if openssl, err := exec.LookPath("openssl"); err == nil { // another program that checks certificates
		out, err := exec.Command(openssl, "verify", "-x509_strict", "-attime", "1795529100", "-purpose", "sslserver", "-verify_ip", "192.168.178.23",
			"-CAfile", filepath.Join(folder, authorityFile), filepath.Join(folder, certificateFile)).CombinedOutput()
		assert.NoError(t, err, "%s", out)
	}

	// The authority can't certify what is not at home: a device refuses it by the authority's own constraints.
	for _, host := range []string{"example.org", "203.0.113.9", "pass.localhost.example.org"} {
		posing := &ownCertificate{folder: t.TempDir(), hosts: []string{host}, now: first.now, caCert: first.caCert, caKey: first.caKey}
		require.NoError(t, posing.renew())
		assert.Error(t, posing.verified(host, now), host)
	}

	// It stays as long as it holds, and is renewed before it ends, or where the machine has another address.
	same := ownFor(t, folder, now.AddDate(1, 0, 0), "192.168.178.23")
	assert.Equal(t, first.serving.Leaf.Raw, same.serving.Leaf.Raw)
	assert.False(t, same.caMade)
	moved := ownFor(t, folder, now, "192.168.178.99")
	assert.NoError(t, moved.verified("192.168.178.99", now))
	later := now.AddDate(1, 1, 0)
	renewed := ownFor(t, folder, later, "192.168.178.99")
	assert.NotEqual(t, moved.serving.Leaf.Raw, renewed.serving.Leaf.Raw)
	assert.NoError(t, renewed.verified("192.168.178.99", later.AddDate(1, 0, 0)))
	assert.Equal(t, first.caCert.Raw, renewed.caCert.Raw, "devices go on trusting it")
	running := renewed // a board that is never closed
	running.now = func() time.Time { return later.AddDate(1, 1, 0) }
	assert.NoError(t, running.verified("localhost", later.AddDate(1, 1, 1)))
	old := ownFor(t, folder, now.AddDate(9, 6, 0), "192.168.178.99")
	assert.True(t, old.caMade, "an authority that would end before its certificate is made again")

	// What is damaged is said; a key alone is the trace of a program that was killed in between.
	require.NoError(t, os.Remove(filepath.Join(folder, certificateFile)))
	assert.NoError(t, ownFor(t, folder, now.AddDate(9, 6, 0)).verified("localhost", now.AddDate(9, 6, 0)))
	require.NoError(t, os.WriteFile(filepath.Join(folder, authorityFile), []byte("spilled"), 0o600))
	_, err := makeCertificate(folder, nil, func() time.Time { return now })
	require.ErrorContains(t, err, "authority.pem")
	var hint *hinted
	require.ErrorAs(t, err, &hint)
	assert.Contains(t, hint.hint, "begin again")
}
