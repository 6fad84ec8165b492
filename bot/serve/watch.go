package serve

import (
	"time"

	"coldcase/bot/caselog"
	"coldcase/bot/crew"
	"coldcase/bot/watch"
	"coldcase/refdata/followup"
)

// watch reminds people of follow-up visits for as long as the server runs.
func (s *Server) watch(store caselog.Store, people *crew.File, say func(caselog.Tx, watch.Notice) error) error {
	setting, err := followup.BuiltIn()
	if err != nil {
		return err
	}
	w := &watch.Watcher{Store: store, Setting: setting, Say: say, Clock: time.Now, Log: s.Log, Zone: func(site, name string) string {
		all, _ := people.Now() // the last good crew stays in force
		if zone := all.SiteZone(site); zone != "" {
			return zone
		}
		who, _ := all.ByName(name)
		return all.Zone(who)
	}}
	s.Work(w.Run)
	return nil
}
