package outbox_test

import (
	"testing"

	"coldcase/bot/caselog/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }
