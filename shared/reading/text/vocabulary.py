"""The words of parts lists in English, German, French and Spanish, folded (lower case, no accents)."""

from __future__ import annotations

from typing import Final

from shared.sections.words import fold

__all__ = [
    "COUNTER",
    "COUNTERS",
    "DITTO",
    "HANDS",
    "LENGTH_WORDS",
    "MARK_WORDS",
    "MULTIPLIERS",
    "NOTE_WORDS",
    "NUMBERS",
    "QUANTITY_WORDS",
    "SET_WORDS",
    "TOTAL_WORDS",
    "fold",
    "is_also",
    "is_set",
]


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


NUMBERS: Final[dict[str, int]] = {
    word: value
    for value, words in {
        1: "one ein eine einen eins un une uno una een",
        2: "two zwei deux dos due twee pair pr paar paire par",
        3: "three drei trois tres tre drie",
        4: "four vier quatre cuatro quattro",
        5: "five funf cinq cinco cinque vijf",
        6: "six sechs seis sei zes halfdozen",
        7: "seven sieben sept siete sette zeven",
        8: "eight acht huit ocho otto",
        9: "nine neun neuf nueve nove negen",
        10: "ten zehn dix diez dieci tien",
        11: "eleven elf onze once undici",
        12: "twelve zwolf douze doce dodici twaalf dozen dutzend douzaine docena",
        16: "sixteen",
        20: "twenty zwanzig vingt veinte",
        24: "twentyfour",
    }.items()
    for word in words.split()
}
"""Number words; a pair is two, a dozen twelve."""

MULTIPLIERS: Final = {
    **dict.fromkeys(("pair", "pairs", "pr", "prs", "paar", "paire", "paires", "par", "pares"), 2),
    **dict.fromkeys(("dozen", "doz", "dutzend", "douzaine", "docena"), 12),
}
"""Counters that multiply the number before them."""

COUNTERS: Final = _words(
    "pc pcs pce pces piece pieces ea each off nr nos no reqd required req times stk stck stuck st stueck piece "
    "pieces pza pzas "
    "pieza piezas ud uds unidad unidades pz pair pairs pr prs paar dozen doz dutzend lengths lgths exemplaires "
    "ex fois mal stuks stuk stukken lengtes pezzo pezzi spezzoni volte keer trozo trozos tramo tramos pedazo pedazos "
    "morceau morceaux stucke stucken bits"
)
"""Words that stand behind a quantity."""

_ACCENTS: Final = {"a": "[aàáâä]", "e": "[eèéê]", "i": "[iìíî]", "o": "[oòóôö]", "u": "[uùúûü]", "c": "[cç]"}
COUNTER: Final = (
    "(?:"
    + "|".join(
        "".join(_ACCENTS.get(letter, letter) for letter in word)
        for word in sorted(
            {*COUNTERS, "length", "rest", "reste", "chute", "chutes"} - {*MULTIPLIERS}, key=lambda w: (-len(w), w)
        )
    )
    + r")(?![^\W\d_])\.?"
)
"""Pattern of a word behind a quantity that doesn't multiply it, accents or none."""

QUANTITY_WORDS: Final = _words(
    "qty quantity quant qnty qté qte quantite anzahl menge stuckzahl stueckzahl stk cant cantidad nb nombre "
    "count n pcs "
    "pieces pz pezzi dispo disp"
)
"""Words that stand before a quantity."""

LENGTH_WORDS: Final = _words(
    "l lg lgth len length lungh lunghezza lunghi lungo lengte long lang lange laenge longueur longitud largo cut "
    "@ at a de"
)
"""Words that stand before a length."""

MARK_WORDS: Final = _words("mark mk part pos position item no nr teil repere rep marca pieza itm ref detail")
"""Words that stand before a mark or an item number."""

NOTE_WORDS: Final = _words(
    "hole holes drill drilled drilling tap tapped cope coped copes vent vents notch notched notches slot "
    "slotted slots weld "
    "welded tack with w see not note nota notes note: paint painted deburr tolerance tol bend bent punch "
    "punched bore bored loch "
    "locher lochung bohrung bohren gebohrt mit siehe trou trous perce percer avec voir agujero agujeros taladro "
    "taladrar con ver "
    "spacing spaced centres centers centre center cc ctrs crs apart from per both one ends end except for incl "
    "including "
    "fuer pour para"
)
"""Words after which numbers belong to a note."""

ALSO: Final = _words(
    "bullone bulloni zwenkwiel zwenkwielen insulation plastic "
    "dado dadi viti vite bout bouten moer moeren ruota ruote wiel wielen rosetta rosette leveling levelling vitre "
    "vitres bache baches polycarbonate ply sheets barattolo barattoli latta latte zincante caps plug plugs stopfen "
    "pl plt bl plate plates baseplate baseplates platte platten blech bleche lochblech plaque plaques tole toles "
    "placa placas chapa chapas sheet sheets bolt bolts screw screws nut nuts washer washers rivet rivets schraube "
    "schrauben mutter muttern scheibe scheiben boulon boulons vis ecrou ecrous rondelle rondelles tornillo "
    "tornillos tuerca tuercas arandela arandelas hinge hinges scharnier scharniere charniere charnieres bisagra "
    "bisagras castor castors caster casters wheel wheels rolle rollen lenkrolle lenkrollen roulette roulettes "
    "rueda ruedas gusset gussets bracket brackets cap caps endcap endcaps kappe kappen bouchon bouchons tapon "
    "tapones latch latches hook hooks haken crochet crochets gancho ganchos chain mesh expanded anchor anchors "
    "dubel pads pad glide glides handle handles griff griffe poignee tarp tarpaulin canvas plank planks decking "
    "board boards plywood timber lumber electrode electrodes wire primer paint primers paints tin tins tub tubs "
    "litre litres liter ltr gallon gallons dose dosen farbe lack grundierung rostschutzgrund spray spraydose "
    "peinture antirouille bombe bombes pot pots galva pintura imprimacion antioxidante bote botes vernice "
    "elettrodi elettrodo verf grondverf zinkspray spuitbus spuitbussen blik blikken glas glass glaze torband "
    "torbander bandjes kruk oogbout rope cable magnet magnets spring springs lock locks bearing bearings bushing "
    "bushings eyelet eyelets knob knobs clamp clamps clip clips insert inserts rivnut rivnuts threaded "
    "gewindestange"
)
"""Nouns of what is no bar stock."""

_ALSO_ENDINGS: Final = (
    "platte",
    "platten",
    "blech",
    "bleche",
    "schraube",
    "schrauben",
    "mutter",
    "muttern",
    "rolle",
    "rollen",
)


def is_also(word: str) -> bool:
    """Whether a folded word names something that is no bar stock.

    Examples
    --------
    >>> is_also("hinges"), is_also("kopfplatte"), is_also("tube")
    (True, True, False)
    """
    return word in ALSO or word.endswith(_ALSO_ENDINGS)


TOTAL_WORDS: Final = _words(
    "total totals subtotal sum summe gesamt zwischensumme somme totaux suma sumas totales gesamtsumme totale totali "
    "totaal subtotale subtotaal subtotaux"
)
"""Words that begin a total."""

DITTO: Final = _words("ditto do dito idem dto same gleich desgl desgleichen")
"""Words for "as above"."""

SET_WORDS: Final = _words(
    "set sets frame frames assembly assemblies assy assys unit units gate gates stall stalls rack racks panel "
    "panels stand stands "
    "bench benches satz satze sets gestell gestelle rahmen baugruppe baugruppen jeu jeux ensemble ensembles "
    "cadre cadres juego "
    "juegos conjunto conjuntos marco marcos table tables module modules bay bays trestle trestles "
    "tisch tische bock bocke bank banke tor tore zaun zaune stander regal regale mesa mesas banco bancos "
    "caballete caballetes puerta puertas chevalet chevalets portail portails banc bancs cavalletto cavalletti "
    "tavolo tavoli panca panche cancello cancelli telaio telai rek rekken tafel tafels bok bokken poort poorten "
    "hek hekken stel stellen"
)
"""Words for an assembly that is made several times."""

_SET_ENDINGS: Final = (
    "gestell",
    "gestelle",
    "rahmen",
    "tisch",
    "tische",
    "rek",
    "rekken",
    "stander",
    "frame",
    "frames",
)


def is_set(word: str) -> bool:
    """Whether a folded word names an assembly that is made several times.

    Examples
    --------
    >>> is_set("stalls"), is_set("kajakrek"), is_set("rails")
    (True, True, False)
    """
    return word in SET_WORDS or word.endswith(_SET_ENDINGS)


HANDS: Final[dict[str, str]] = {
    **dict.fromkeys(("l", "lh", "left", "links", "gauche", "izq", "izquierda", "izquierdo"), "left"),
    **dict.fromkeys(("r", "rh", "right", "rechts", "droite", "der", "derecha", "derecho"), "right"),
}
"""Words for handed parts."""
