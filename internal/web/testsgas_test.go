package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// gasTable is ten minutes of clean air and a fire of four minutes from 10:04, in a
// duct of 0.1 m³/s.
func gasTable() string {
	var b strings.Builder
	b.WriteString("time,CO (ppm),CO2 (ppm),Duct flow (m3/min)\n")
	for i := 0; i <= 14*6; i++ {
		co, co2 := 1, 420
		if i >= 60 && i <= 84 {
			co, co2 = 51, 2420
		}
		row := fmt.Sprintf("2026-05-04 %02d:%02d:%02d,%d,%d,6\n", 9+(54+i/6)/60, (54+i/6)%60, i%6*10, co, co2)
		if i == 70 {
			row = strings.Replace(row, "2420", "", 1)
		}
		b.WriteString(row)
	}
	return b.String()
}

// A hood's record is shown as the emission of a test before it is written into it.
func TestGasRecordBecomesTheEmissionOfATest(t *testing.T) {
	b, _ := bench(t)
	sheet := "test: emission\nmethod: hood\nabout: {stove: Stove A, test: E1, date: \"2026-05-04\"}\nwood: {kind: hardwood, moisture: 10 %, moisture_basis: wet}\nburnt: {wood: 60 g, useful_heat: 0.2 MJ, duration: 4 min}\ngas: {temperature: 25 °C, pressure: 1013.25 hPa}\n"
	test := request(b, "POST", "/tests/import", url.Values{"document": {sheet}}).Header().Get("Location")
	record := upload(b, "/logs", "hood.csv", gasTable()).Header().Get("Location")
	id := strings.TrimPrefix(test, "/tests/")
	want(t, request(b, "GET", record, nil), 200, "Gas record of a test", "CO (ppm)")
	said := url.Values{"gas-of": {id}, "background": {"09:54-10:03"}, "fire": {"12:00-13:00"}}
	want(t, request(b, "POST", record, said), http.StatusSeeOther)
	want(t, request(b, "GET", record, nil), 200, "12:00-13:00", "the record goes from 2026-05-04 09:54 to 2026-05-04 10:08")
	want(t, request(b, "POST", test+"/form", url.Values{"about.date": {"2026-05-06"}}), http.StatusSeeOther)
	want(t, request(b, "GET", record, nil), 200, "the test is dated 2026-05-06: set the date of the test right")
	want(t, request(b, "POST", test+"/form", url.Values{"about.date": {"2026-05-04"}}), http.StatusSeeOther)
	said.Set("fire", "10:04-10:08")
	want(t, request(b, "POST", record, said), http.StatusSeeOther)
	// 7.55622 g in 22 min of 50 ppm at this flow, by the ideal gas; 1.374 g in 4 min over 0.2 MJ
	want(t, request(b, "GET", record, nil), 200, "24 rows while it burnt, 55 of the background", "1 row lacks a reading and was left out; line", ">72<", "6.87\u00a0g/MJ", "carbon found over carbon burnt", "Write it into the test")
	said.Set("do", "gas")
	if to := request(b, "POST", record, said).Header().Get("Location"); to != test {
		t.Fatalf("goes on with %q", to)
	}
	want(t, request(b, "GET", test, nil), 200, "6.87\u00a0g/MJ", "evidence/hood.csv")
	want(t, request(b, "GET", test+"/form", nil), 200, "51.00 ppm")
}

// The phases of a boiling test bring their clocks, and each gets its emission test,
// once however often the record is read.
func TestGasRecordOfABoilingTest(t *testing.T) {
	b, _ := bench(t)
	boiling := request(b, "POST", "/tests/import", url.Values{"document": {`test: boiling
about: {stove: Stove A, test: B7, date: "2026-05-04"}
wood: {kind: hardwood, moisture: 10 %, moisture_basis: wet}
place: {air_temperature: 25 °C, altitude: 0 m}
char_pan: 250 g
cold:
  wood_before: 560 g
  wood_after: 500 g
  char_with_pan: 252 g
  start: "10:04"
  end: "10:08"
  pots: [{empty: 700 g, before: 1200 g, after: 1195 g, start_temperature: 25 °C, end_temperature: 100 °C}]
`}}).Header().Get("Location")
	record := upload(b, "/logs", "hood.csv", gasTable()).Header().Get("Location")
	said := url.Values{"gas-of": {strings.TrimPrefix(boiling, "/tests/")}, "background": {"09:54-10:03"}, "gas:temperature": {"25 °C"}, "gas:pressure": {"1013.25 hPa"}, "do": {"gas"}}
	for range 2 {
		want(t, request(b, "POST", record, said), http.StatusSeeOther)
	}
	body := want(t, request(b, "GET", "/tests", nil), 200, "B7 cold")
	if n := strings.Count(body, ">B7 cold"); n != 1 {
		t.Errorf("%d emission tests of the cold start", n)
	}
}
