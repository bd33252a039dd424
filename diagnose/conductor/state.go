package conductor

// hot says whether loads are warm: an ideal supply is on. Behind a lamp, with
// a short on the track, they see too little to warm up, and an ohmmeter warms
// nothing. That is an approximation for a lamp on a sound layout.
func (s *Setup) hot() bool {
	if s.Warm {
		return true
	}
	for _, x := range s.Sources() {
		if x.Kind == SourceVolts {
			return true
		}
	}
	return false
}

// Leaves says whether the set-up leaves a link in place: not lifted, pulled,
// switched off, unplugged or thrown open. A bridged gap in a lifted joint does
// not conduct either, nor does a shorted accessory that is unplugged.
func (s *Setup) Leaves(k *Link) bool {
	switch k.Kind {
	case KindJoint, KindGap:
		return !Has(s.Lifted, k.Joint)
	case KindFeeder:
		return !Has(s.Pulled, k.Feeder)
	case KindSwitch:
		return s.Route(k.Turnout) == k.When
	case KindToggle:
		return Has(s.Off, k.Toggle) == (k.When == WhenOff)
	case KindLoad:
		return !Has(s.Unplugged, k.Accessory) && s.hot() == (k.When == WhenHot)
	case KindInsulation:
		return k.Accessory < 0 || !Has(s.Unplugged, k.Accessory)
	}
	return true
}
