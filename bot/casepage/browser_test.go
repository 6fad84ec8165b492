package casepage

import (
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"coldcase/bot/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }

// shown is the page of a case in a browser.
func shown(t *testing.T, size browsertest.Size, texts ...string) *browsertest.Tab {
	p, h, _ := desk(t, texts...)
	tab := browsertest.Open(t, size)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab.Visit(server.URL + p.link(t, noon.Add(48*time.Hour)))
	return tab
}

func TestPageInABrowser(t *testing.T) {
	for name, size := range map[string]browsertest.Size{"phone": browsertest.Phone, "tablet": browsertest.Tablet, "desktop": browsertest.Desktop} {
		t.Run(name, func(t *testing.T) {
			tab := shown(t, size, "suct 20")
			require.Empty(t, tab.Overflow())
			require.Empty(t, tab.Broken())
			require.Empty(t, tab.Serious())
			require.Empty(t, tab.Complaints())
		})
	}
}
