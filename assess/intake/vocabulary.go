package intake

import (
	"slices"
	"strings"
)

// phrase is one way in which a heading names its column: words that must be there, and others that may
// be (with a question mark). A weak one is common but may also mean something else.
type phrase struct {
	must, may []string
	weak      bool
	unit      string // it means so only with this unit, "any" for some unit: "Bus kV"
}

// unitAgrees reports whether a heading names the unit that the phrase needs.
func (p *phrase) unitAgrees(s *spoken) bool {
	switch p.unit {
	case "":
		return true
	case "any":
		return len(s.units) > 0 || s.feetInches
	}
	return len(s.units) == 1 && s.units[0].Suffix == p.unit
}

// means reports whether words say exactly this.
func (p *phrase) means(words []string) bool {
	for _, m := range p.must {
		if !slices.Contains(words, m) {
			return false
		}
	}
	for _, w := range words {
		if !slices.Contains(p.must, w) && !slices.Contains(p.may, w) {
			return false
		}
	}
	return true
}

// phrases reads phrases separated by commas; "~" marks weak ones, "^" those that need a unit, and "^ka:"
// those that need this one.
func phrases(text string) []phrase {
	var all []phrase
	for _, one := range strings.Split(text, ",") {
		p, one := phrase{}, strings.TrimSpace(one)
		if rest, ok := strings.CutPrefix(one, "^"); ok {
			if p.unit, one, ok = strings.Cut(rest, ":"); !ok {
				p.unit, one = "any", rest
			}
		}
		one, p.weak = strings.CutPrefix(one, "~")
		for _, w := range strings.Fields(one) {
			if may, ok := strings.CutSuffix(w, "?"); ok {
				p.may = append(p.may, may)
			} else {
				p.must = append(p.must, w)
			}
		}
		all = append(all, p)
	}
	return all
}

// vocabulary holds the trade's headings by the column of locations.csv, or by a name of our own for what
// is only compared (see stated.go) or prevents a heading from being mistaken for another. The words are
// spelled as by [wordsOf]. They are the trade's general ones, from memory; common practice.
var vocabulary = map[string][]phrase{
	"id": phrases("id number?, bus id number?, location id number?, equipment id number?, asset id number?, panel id number?, " +
		"bus number, equipment number, ~bus, ~bus name, ~bus identification, ~equipment name, ~equipment, ~location, ~name, " +
		"~designation, ~label id number?, ~asset number, ~panel, ~panel name, ~panel number, ~node, ~mark, ~faulted bus, " +
		"~number, ~item number?"),
	"case": phrases("case, study case, scenario, study scenario, operating condition, operating scenario, operating case, " +
		"~operating mode, ~configuration, ~system configuration"),
	"area": phrases("area, plant area, building, room, department, area building, building room, building area, " +
		"~location, ~zone, ~section, ~floor, ~sector"),
	"equipment": phrases("equipment description, description, location description, bus description, panel description, " +
		"equipment, ~equipment name, ~bus name, ~name, ~location, ~panel name"),
	"class": phrases("class, equipment class, equipment type, bus type, type equipment, ~type"),
	"fed_from": phrases("fed from, fed by, from fed location? item? bus? id?, upstream bus id? name?, upstream equipment id? name?, " +
		"upstream location id?, upstream panel, ~upstream, ~source, ~source bus, ~power source, ~feeder, ~supply bus, ~from, ~from bus"),
	"tied_to":   phrases("tied to"),
	"supply":    phrases("supply, supply type, phase number?, ac dc, ac dc phase?, ~system, ~system type"),
	"voltage":   phrases("voltage nominal? system? bus? equipment? l? to? line?, ^~bus? system? nominal? equipment? l? to? line?, ~nominal"),
	"frequency": phrases("frequency system? supply?"),
	"fault": phrases("bolted fault current? available? maximum? symmetrical? bus? rms? 3? phase? three? short? circuit?, " +
		"available fault current? maximum? symmetrical? bus? rms? 3? phase? three? short? circuit?, " +
		"fault current maximum? symmetrical? bus? rms? 3? phase? three? short? circuit?, " +
		"short circuit current available? maximum? symmetrical? bus? rms? 3? phase? three? bolted?, " +
		"^ka:~fault 3? phase? three? symmetrical? bus? rms?, ^a:~fault 3? phase? three? symmetrical? bus? rms?, ~fault level, ~fault duty, ~prospective fault current, " +
		"^ka:~short circuit 3? phase? three? symmetrical? available? rms?"),
	"arcing fault": phrases("arcing fault? current? reduced? minimum? maximum? bus? total? short? circuit? at? 85? percent?, iarc minimum?"),
	"rating": phrases("short circuit rating equipment? bus? withstand?, ^ka:rating equipment bus?, withstand rating equipment? bus?, " +
		"bus bracing, bracing, equipment aic, ~aic, ~aic rating, ~interrupting rating, ^ka:~rating, ^~withstand, ^~withstand current"),
	"energy": phrases("incident energy arc? flash? maximum? at? working? distance? level?, energy arc? flash?, " +
		"arc flash energy incident?, ^~, ~energy level, ~energy at working distance, ~thermal energy, ~heat energy"),
	"boundary": phrases("arc flash boundary protective? distance? hazard?, flash boundary protective? distance? hazard?, " +
		"arc boundary, ~boundary, ~boundary distance, ~protective boundary, ~hazard boundary, ~distance"),
	"distance":   phrases("working distance, ~distance, ~distance to worker"),
	"electrodes": phrases("electrode, electrode configuration, electrode orientation, ~configuration, ~conductor configuration, ~electrode arrangement"),
	"gap": phrases("gap between? conductor? bus? electrode? arc? air?, conductor gap, electrode gap, " +
		"bus gap, arc gap"),
	"height": phrases("enclosure height, box height, ~height, cubicle height, cubicle h, enclosure h"),
	"width":  phrases("enclosure width, box width, ~width, cubicle width, cubicle w, enclosure w"),
	"depth":  phrases("enclosure depth, box depth, ~depth, cubicle depth, cubicle d, enclosure d"),
	"clear": phrases("clearing time fault? arc? arcing? total? device? protective? upstream?, arc duration, arc time, arcing time, " +
		"arcing duration, arc fault duration, fault duration clearing?, clearing time to, ~trip time, ~tripping time, ~duration, ~time, ~clearing"),
	"clear_reduced": phrases("clearing time reduced fault? arc? arcing? total? current? at? to? device? protective?, " +
		"arc duration reduced current? at? arcing?, arcing time reduced current? at?, arcing duration reduced current? at?, " +
		"~trip time reduced current arcing? at?, ~tripping time reduced current arcing? at?"),
	"opening time": phrases("opening breaker? device? circuit? mechanical? time?, breaker time circuit? operating? mechanical? interrupting?, " +
		"delay, trip delay time?, time delay short? long? intentional?, intentional delay, relay time operating?, interrupting time"),
	"device": phrases("protective device name? id? upstream?, device name? id?, upstream device name? id?, clearing device, tripping device, " +
		"overcurrent device protective? upstream?, ~breaker, ~fuse, ~upstream breaker, ~upstream protective, ~trip device"),
	"device_at": phrases("device location protective?, location protective device, device at, device at protective"),
	"device_rating": phrases("device interrupting rating protective?, device interrupting capacity, device aic, " +
		"device short circuit rating, breaker interrupting rating, breaker aic, breaking capacity device?, " +
		"~interrupting rating, ~interrupting capacity, ~aic, ~aic rating, ^~device rating, ^~breaker rating"),
	"study":    phrases("study, study number, study id, study name, report number, report id, report"),
	"revision": phrases("revision number?, study revision, report revision"),
	"edition":  phrases("edition, ~standard, ~standard edition"),
	"surveyed": phrases("surveyed, survey date, date surveyed, field data date?, date field survey?, field survey date, ~field survey"),
	"prepared": phrases("prepared, study date, date prepared, report date, date study, analysis date, date analysis, " +
		"calculation date, ~date, ~issued"),
	"engineer": phrases("engineer, study engineer, prepared by, study by, performed by, by performed study"),
	"note":     phrases("note"),

	limited:    phrases("limited approach boundary? distance?, limited boundary"),
	restricted: phrases("restricted approach boundary? distance?, restricted boundary"),
	glove:      phrases("glove, glove class, class glove insulating? rubber? voltage?"),
	ppe:        phrases("ppe, ppe level, ppe category, ppe class, ppe kit, ppe required, required ppe, kit, hazard category, arc flash ppe category? level?"),
	signal:     phrases("signal word, label signal word, danger warning, warning danger, label header"),
}

// order is the vocabulary in a fixed order.
var order = func() []string {
	var names []string
	for name := range vocabulary {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}()
