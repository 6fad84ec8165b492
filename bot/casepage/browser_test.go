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
func shown(t *testing.T, size browsertest.Size, job ...said) *browsertest.Tab {
	p, h, _ := book(t, job...)
	tab := browsertest.Open(t, size)
	server := httptest.NewServer(h)
	t.Cleanup(server.Close)
	tab.Visit(server.URL + p.link(t, p.Now().Add(48*time.Hour)))
	return tab
}

func TestPageInABrowser(t *testing.T) {
	jobs := map[string][]said{"one reading": minutely("suct 20"), "full": fullJob(t), "hostile": hostileJob()}
	sizes := map[string]browsertest.Size{"phone": browsertest.Phone, "tablet": browsertest.Tablet, "desktop": browsertest.Desktop}
	for job, said := range jobs {
		for name, size := range sizes {
			t.Run(job+" on a "+name, func(t *testing.T) {
				tab := shown(t, size, said...)
				require.Empty(t, tab.Overflow())
				require.Empty(t, tab.Broken())
				require.Empty(t, tab.Serious())
				require.Empty(t, tab.Complaints())
			})
		}
	}
}
