package dedup

import "testing"

func TestUntracked(t *testing.T) {
	for in, want := range map[string]string{
		"https://a.example/x?id=7":                    "https://a.example/x?id=7",
		"https://a.example/x?b=2&utm_source=mail&a=1": "https://a.example/x?b=2&a=1",
		"https://a.example/x?utm_source=mail":         "https://a.example/x",
		"https://a.example/x?gclid=9&id=7#photo":      "https://a.example/x?id=7#photo",
		"https://a.example/x?q=%C3%A9&ref=top":        "https://a.example/x?q=%C3%A9",
		" https://a.example/x ":                       "https://a.example/x",
		"no address":                                  "no address",
	} {
		if got := Untracked(in); got != want {
			t.Errorf("Untracked(%q) = %q, wanted %q", in, got, want)
		}
	}
}
