package label

import "testing"

// Which links are those of a site's labels.
func TestLinksOfASite(t *testing.T) {
	const code = "/V/7K3M-9QTD-RC4A-0W2E"
	site := []string{"HTTPS://LABELS.EXAMPLE.ORG/PLANT", "HTTP://OLD.EXAMPLE.ORG:8080"}
	for text, want := range map[string]bool{
		"7K3M-9QTD-RC4A-0W2E": true, "7K3M-9QTD-RC4A-0W2E A-480V": true, code: true, code + "/A-480V/index.html": true,
		"HTTPS://LABELS.EXAMPLE.ORG/PLANT" + code + "/A-480V": true, "https://labels.example.org/plant" + code + "/A": true,
		"HTTP://LABELS.EXAMPLE.ORG:80/PLANT" + code: true, "HTTPS://LABELS.EXAMPLE.ORG:443/PLANT/" + code[1:]: true,
		"LABELS.EXAMPLE.ORG/PLANT" + code: true, "http://OLD.EXAMPLE.ORG:8080" + code: true, "/PLANT" + code: true, "/plant" + code: true,
		"http://localhost:8484" + code: true, "http://127.0.0.1:8484/PLANT" + code: true, "http://[::1]:8484" + code: true,

		"HTTPS://LABELS.EXAMPLE.ORG" + code: false, "HTTPS://LABELS.EXAMPLE.ORG/OTHER" + code: false,
		"HTTPS://LABELS.EXAMPLE.ORG/PLANT/B" + code: false, "HTTPS://LABELS.EXAMPLE.ORG/PLANT-B" + code: false,
		"HTTPS://OTHER.EXAMPLE.ORG/PLANT" + code: false, "HTTPS://OLD.EXAMPLE.ORG" + code: false, "/OTHER" + code: false,
		"HTTPS://LABELS.EXAMPLE.ORG:8443/PLANT" + code: false, "http://localhost:8484/OTHER" + code: false,
		"HTTPS://LABELS.EXAMPLE.ORG/PLANT/V" + code: false, "http://localhost.example.org" + code: false,
	} {
		s, err := ParseQR(text)
		if err != nil || s.Code != "7K3M-9QTD-RC4A-0W2E" || s.Of(site) != want {
			t.Errorf("%s: %+v, %v", text, s, err)
		}
		if !s.Of(nil) {
			t.Errorf("%s, of a site without a link", text)
		}
	}
}
