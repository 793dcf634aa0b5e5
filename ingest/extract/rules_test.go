package extract

import (
	"strings"
	"testing"

	"askance/ingest/record"
)

// sayings is sentences with what they say: "item=value" in the order of the
// book's items, nothing for nothing. Each stands under the rule it shows.
func sayings() map[string][][2]string {
	return map[string][][2]string{
		"nothing is said": {
			{"Very good condition.", ""},
			{"Is the trailer included?", ""},
			{"Looking for a cat with trailer and spinnaker.", ""},
			{"My other boat has a new trampoline.", ""},
			{"Would swap for a dinghy with road trailer.", ""},
			{"Sails beautifully in light wind.", ""},
			{"Sehr guter Zustand.", ""},
			{"Ist der Trailer dabei?", ""},
			{"Segelt super bei wenig Wind.", ""},
			{"Mein neues Boot hat einen Spinnaker.", ""},
			{"If you need a trailer, ask the club.", ""},
			{"The class rules allow a spinnaker.", "?"},
		},
		"extras": {
			{"Comes with trailer.", "road_trailer=included"},
			{"Trailer not included.", "road_trailer=absent"},
			{"Trolley included, trailer not included.", "launching_trolley=included road_trailer=absent"},
			{"Without trailer, trolley and cover.", "launching_trolley=absent road_trailer=absent cover=absent"},
			{"No trailer, but trolley and cover.", "launching_trolley=included road_trailer=absent cover=included"},
			{"No trailer or trolley.", "launching_trolley=absent road_trailer=absent"},
			{"Trailer for an additional 300 euros.", "road_trailer=at_extra_cost"},
			{"Road trailer available at extra cost.", "road_trailer=at_extra_cost"},
			{"Trailer (300 EUR)", "road_trailer=at_extra_cost"},
			{"The spinnaker stays with me.", "spinnaker_kit=absent"},
			{"Cover already sold.", "cover=absent"},
			{"Bring your own trailer.", "road_trailer=absent"},
			{"The trailer stays with me for my new boat.", "road_trailer=absent"},
			{"Trolley, a spinnaker and trapeze not included.", "launching_trolley=absent spinnaker_kit=absent trapeze_gear=absent"},
			{"Köpet omfattar trailer för 4000 kr/st. Utan kapell.", "road_trailer=at_extra_cost cover=absent"},
			{"Extras: trolley, cover, two trapeze harnesses.", "launching_trolley=included cover=included trapeze_gear=included"},
			{"Not included: trailer, cover.", "road_trailer=absent cover=absent"},
			{"Optional: trailer, spinnaker.", "road_trailer=at_extra_cost spinnaker_kit=at_extra_cost"},
			{"Combined trailer and trolley.", "launching_trolley=included road_trailer=included"},
			{"I also have a trailer. Not included in the price.", "road_trailer=absent"},
			{"Everything included except the trailer.", "road_trailer=absent"},
			{"Trailer needs new tyres and lights.", "road_trailer=included"},
			{"ohne Trailer", "road_trailer=absent"},
			{"Inkl. Slipwagen und Plane, ohne Straßentrailer", "launching_trolley=included road_trailer=absent cover=included"},
			{"Slipwagen, Plane und Trapezhosen vorhanden", "launching_trolley=included cover=included trapeze_gear=included"},
			{"Trailer nicht dabei", "road_trailer=absent"},
			{"Der Trailer ist leider nicht mehr dabei", "road_trailer=absent"},
			{"Trailer kann gegen Aufpreis erworben werden", "road_trailer=at_extra_cost"},
			{"Trailer für 400 € zusätzlich erhältlich", "road_trailer=at_extra_cost"},
			{"Zubehör: Slipwagen, Persenning, 2 Schwimmwesten", "launching_trolley=included cover=included buoyancy_aids=included"},
			{"Alles dabei außer Trailer", "road_trailer=absent"},
			{"Kein Slipwagen, kein Trailer", "launching_trolley=absent road_trailer=absent"},
			{"Bitte eigenen Trailer mitbringen", "road_trailer=absent"},
			{"Die Persenning fehlt.", "cover=absent"},
			{"Preis ohne Trailer 1500 €, mit Trailer 1900 €", "road_trailer=at_extra_cost"},
			{"Price without trailer 1500 EUR, with trailer 1900 EUR", "road_trailer=at_extra_cost"},
			{"2000 EUR with trolley, trailer 350 EUR extra.", "launching_trolley=included road_trailer=at_extra_cost"},
			{"On top of that: cover 110 and spinnaker 700.", "cover=at_extra_cost spinnaker_kit=at_extra_cost"},
			{"Le chariot ? Oui. La remorque ? Non.", "launching_trolley=included road_trailer=absent"},
			{"Trailer? Ask the club.", ""},
		},
		"what is told ends with its thing": {
			{"El mástil está recto y la jarcia es de 2025.", "standing_rigging=fresh mast_bent=denied"},
			{"Niente di corsaiolo: pale dei timoni in plastica.", "rudder_blades=basic"},
		},
		"offers behind a pause": {
			{"Los repuestos que tengo en el garaje, a precio aparte.", "spare_parts=at_extra_cost"},
			{"Carro de varada tengo, pero va aparte: 110 €.", "launching_trolley=at_extra_cost"},
			{"Aparte vendo el remolque, los arneses y una caja de repuestos.", "road_trailer=at_extra_cost trapeze_gear=at_extra_cost spare_parts=at_extra_cost"},
		},
		"denials of another thing, of what was, and of what stands behind": {
			{"No rust on the trailer.", "road_trailer=included"},
			{"Kein Rost am Trailer.", "road_trailer=included"},
			{"It did not come with a furler, a spinnaker or anything.", "spinnaker_kit=absent jib_furler=absent"},
			{"Trolley yes, cover no.", "launching_trolley=included cover=absent"},
			{"Slipwagen ja, Persenning nein", "launching_trolley=included cover=absent"},
			{"Trailer 300 € obendrauf", "road_trailer=at_extra_cost"},
			{"Mehrausstattung auf Anfrage (nicht im Preis!): Gennaker, Persenning", "cover=at_extra_cost spinnaker_kit=at_extra_cost"},
			{"Trailer. Price is negotiable.", "road_trailer=included"},
			{"The trolley 80, furler for the jib another £60.", "launching_trolley=at_extra_cost jib_furler=at_extra_cost"},
		},
		"a mending speaks of its fault": {
			{"One shroud had a broken strand, replaced.", "rigging_strands=repaired"},
			{"Gudgeons rebushed so the rudders no longer rattle.", "gudgeon_movement=repaired"},
			{"Painted in 2016, because the red had faded.", "faded=repaired"},
			{"Alle Ösen am Tramp habe ich 2022 erneuert, weil zwei ausgerissen waren.", "trampoline_eyelets=repaired"},
			{"Faded hulls", "faded=present"},
			{"Rümpfe steif", "soft_side=denied"},
			{"Plain swivel block for the mainsheet.", "mainsheet_block=basic"},
		},
		"wear": {
			{"Trampoline worn and sails new.", "sails=fresh trampoline=worn"},
			{"Segel -25, mast -12.", "sails=fresh"},
			{"Vanterne har ingen brudte tråde og er gode.", "standing_rigging=good rigging_strands=denied"},
			{"Blødt dæk og blød skrogside udbedret.", "soft_deck=repaired soft_side=repaired"},
			{"Seglen är nya och masten sliten.", "sails=fresh mast=worn"},
			{"Trampoline new 2025.", "trampoline=fresh"},
			{"Trampoline new in 2015.", ""},
			{"Sails 2024.", "sails=fresh"},
			{"Sails from 2012.", ""},
			{"Sails from 2012, still crisp.", "sails=good"},
			{"Sails from 2012 but in good condition", "sails=good"},
			{"Needs a new trampoline.", "trampoline=replace"},
			{"Needs new sails and a new trampoline.", "sails=replace trampoline=replace"},
			{"The ropes should be replaced.", "ropes=replace"},
			{"Trampoline was replaced two years ago.", "trampoline=fresh"},
			{"Trampoline was replaced in 2014.", ""},
			{"New jib.", ""},
			{"New main and jib in 2025.", "sails=fresh"},
			{"Main good, jib torn.", "sails=good"},
			{"Sails, trampoline and ropes are new.", "sails=fresh trampoline=fresh ropes=fresh"},
			{"Sails good trampoline new", "sails=good trampoline=fresh"},
			{"New trampoline, old sails", "sails=worn trampoline=fresh"},
			{"Mast broken beyond repair.", "mast=replace"},
			{"Segel 2024", "sails=fresh"},
			{"Segel von 2012, aber noch gut", "sails=good"},
			{"Trampolin müsste erneuert werden", "trampoline=replace"},
			{"braucht ein neues Trampolin", "trampoline=replace"},
			{"Wanten vor zwei Jahren erneuert", "standing_rigging=fresh"},
			{"Wanten wurden 2013 erneuert", ""},
			{"neue Fock", ""},
			{"Großsegel neuwertig, Fock gebraucht", "sails=fresh"},
			{"Segel und Trampolin neu", "sails=fresh trampoline=fresh"},
			{"Segel gut Trampolin neu", "sails=good trampoline=fresh"},
			{"Schoten und Fallen neu, stehendes Gut 1 Jahr alt", "standing_rigging=fresh ropes=fresh"},
			{"Segel alt aber brauchbar", "sails=worn"},
			{"Rümpfe in sehr gutem Zustand", "hulls=good"},
			{"Das Trampolin ist verschlissen", "trampoline=replace"},
			{"New sails 2024 and trampoline 2014", "sails=fresh"},
			{"The trampoline is five years old but in good shape.", "trampoline=good"},
			{"Everything replaced: shrouds, halyards and sheets.", "standing_rigging=fresh ropes=fresh"},
			{"Trampoline? Worn.", "trampoline=worn"},
			{"Haubans contrôlés en 2025.", ""},
			{"Haubans changés en 2025.", "standing_rigging=fresh"},
			{"De boot heeft een nieuw grootzeil nodig.", "sails=replace"},
		},
		"grades": {
			{"Epoxy rudder blades", "rudder_blades=top"},
			{"Rudder blades in carbon", "rudder_blades=top"},
			{"The rudders are fibreglass", "rudder_blades=mid"},
			{"plastic rudders", "rudder_blades=basic"},
			{"Rudder blade repaired with epoxy", ""},
			{"Spare plastic rudder blade", "spare_parts=included"},
			{"ratchet block", ""},
			{"Mainsheet with switchable ratchet and ball bearings", "mainsheet_block=top"},
			{"auto ratchet on the mainsheet", "mainsheet_block=mid"},
			{"plain mainsheet block", "mainsheet_block=basic"},
			{"Ruderblätter aus Kunststoff", "rudder_blades=basic"},
			{"Epoxidruder", "rudder_blades=top"},
			{"Ruder mit Epoxy repariert", ""},
			{"Großschotblock kugelgelagert mit schaltbarer Ratsche", "mainsheet_block=top"},
			{"Ratschblock", ""},
			{"Carbon mast, plastic blades", "rudder_blades=basic"},
			{"epoxy rudder blades and a spare plastic blade", "rudder_blades=top spare_parts=included"},
		},
		"defects": {
			{"No soft spots.", "soft_deck=denied"},
			{"Hulls dry.", "hull_leak=denied"},
			{"Mast straight.", "mast_bent=denied"},
			{"Soft deck, repaired in 2021.", "soft_deck=repaired"},
			{"Deck soft near the mast", "soft_deck=present"},
			{"The deck is not soft.", "soft_deck=denied"},
			{"Some scratches on the hulls.", ""},
			{"Crack in the front beam.", "beam_crack=present"},
			{"Front beam: small crack, welded.", "beam_crack=repaired"},
			{"Crack in front beam needs welding.", "beam_crack=present"},
			{"The crack in the beam has not been repaired.", "beam_crack=present"},
			{"No cracks, no soft spots, no leaks.", "hull_leak=denied soft_deck=denied"},
			{"Gelcoat cracks at the bow.", "gelcoat_cracks=present"},
			{"Free of cracks and soft spots.", "soft_deck=denied"},
			{"Play in the gudgeons.", "gudgeon_movement=present"},
			{"Pylons rock solid, no movement.", "pylon_movement=denied"},
			{"Deck joint split, to be glued.", "deck_joint_open=present"},
			{"Does not leak.", "hull_leak=denied"},
			{"One shroud has a broken strand.", "rigging_strands=present"},
			{"Keine weichen Stellen", "soft_deck=denied"},
			{"Rümpfe trocken", "hull_leak=denied"},
			{"Deck an einer Stelle weich", "soft_deck=present"},
			{"Deck nicht weich", "soft_deck=denied"},
			{"Riss im Beam geschweißt", "beam_crack=repaired"},
			{"Riss im Beam muss geschweißt werden", "beam_crack=present"},
			{"Kratzer an den Rümpfen", ""},
			{"keine Risse, keine weichen Stellen, kein Spiel an den Pylonen", "soft_deck=denied pylon_movement=denied"},
			{"Mast gerade, keine Risse im Gelcoat", "gelcoat_cracks=denied mast_bent=denied"},
			{"Decksnaht offen", "deck_joint_open=present"},
			{"Gelcoat verblichen", "faded=present"},
			{"eine Öse im Trampolin ausgerissen", "trampoline_eyelets=present"},
			{"weiche Stelle an der Bordwand", "soft_side=present"},
			{"Hat etwas Wasser gezogen, wurde abgedichtet", "hull_leak=repaired"},
			{"Beams without a crack and deck joint closed.", "beam_crack=denied deck_joint_open=denied"},
			{"The mast was bent, straightened last year.", "mast_bent=repaired"},
			{"The mast was straightened last year.", ""},
			{"Lo scafo faceva acqua da poppa: risolto con tappo e guarnizione nuovi", "hull_leak=repaired"},
			{"La coperta è rigida, la traversa è crepata", "beam_crack=present soft_deck=denied"},
			{"La giunzione della coperta ha ceduto in mare aperto", "deck_joint_open=present"},
			{"Giunzione della coperta controllata, barca da mare aperto", ""},
		},
	}
}

func TestRules(t *testing.T) {
	r, _ := builtin(t)
	for rule, list := range sayings() {
		t.Run(rule, func(t *testing.T) {
			for _, s := range list {
				if s[1] == "?" {
					continue
				}
				l := r.Listing(rowOf("title", "Skerrik 16", "text", s[0]), record.Batch{}, Options{AsOf: adsAsOf})
				var got []string
				for _, f := range l.Findings {
					got = append(got, f.Item+"="+f.Value)
				}
				if g := strings.Join(got, " "); g != s[1] {
					t.Errorf("%q\n got %s\nwant %s", s[0], g, s[1])
				}
			}
		})
	}
}
