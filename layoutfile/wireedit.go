package layoutfile

// AddBus adds a bus or a strip.
func (f *File) AddBus(u BusLines) Problems {
	kind := "bus"
	if u.Strip {
		kind = "strip"
	}
	return f.insert(kind, u.text())
}

// RemoveBus takes a bus or a strip out. What hangs on it must go first.
func (f *File) RemoveBus(name string) Problems {
	if f.block("strip", name) != nil {
		return f.remove("strip", name)
	}
	return f.remove("bus", name)
}

// AddToggle adds a toggle.
func (f *File) AddToggle(t ToggleLines) Problems { return f.insert("toggle", t.text()) }

// RemoveToggle takes a toggle out. What hangs on it must go first.
func (f *File) RemoveToggle(name string) Problems { return f.remove("toggle", name) }

// AddBlock adds a stretch that is switched on its own.
func (f *File) AddBlock(k BlockLines) Problems { return f.insert("block", k.text()) }

// RemoveBlock takes a block of track out; its pieces stay.
func (f *File) RemoveBlock(name string) Problems { return f.remove("block", name) }

// AddAccessory adds an accessory.
func (f *File) AddAccessory(a AccessoryLines) Problems { return f.insert("accessory", a.text()) }

// RemoveAccessory takes an accessory out. The insulated rail that works it
// must go first.
func (f *File) RemoveAccessory(name string) Problems { return f.remove("accessory", name) }

// AddInsulatedRail adds an insulated rail and what it works; its two joints
// are insulated by AddInsulated.
func (f *File) AddInsulatedRail(r InsulatedRailLines) Problems {
	return f.insert("insulated_rail", r.text())
}

// RemoveInsulatedRail takes an insulated rail out; its joints stay insulated.
func (f *File) RemoveInsulatedRail(name string) Problems { return f.remove("insulated_rail", name) }

// AddTrain adds a train.
func (f *File) AddTrain(t TrainLines) Problems { return f.insert("train", t.text()) }

// RemoveTrain takes a train out.
func (f *File) RemoveTrain(name string) Problems { return f.remove("train", name) }

// SetPhase says how a supply's phase was found against the first one's.
func (f *File) SetPhase(supply, phase string) Problems {
	return f.set("supply", supply, "phase", quote(phase))
}
