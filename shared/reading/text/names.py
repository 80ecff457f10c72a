"""Words that a list's writer uses beside a part and that change nothing of it: names, places, work, politeness.

A word that is none of these and no word of the trade for a section, a material or an end isn't known: it may mean
anything, so it is said, and asked where it stands in the section's name. Vocabularies of the trade in English, German,
French, Spanish, Italian and Dutch, written down for this reader.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from shared.reading.text.vocabulary import (
    COUNTERS,
    DITTO,
    HANDS,
    LENGTH_WORDS,
    MARK_WORDS,
    NOTE_WORDS,
    NUMBERS,
    QUANTITY_WORDS,
    TOTAL_WORDS,
    is_also,
    is_set,
)
from shared.sections.words import NEUTRAL, TAGS, fold

__all__ = ["is_harmless"]

_ENGLISH: Final = """
leg apron rail upright post stud column pillar stanchion beam joist rafter purlin girt ridge eave stringer stretcher
spreader crossmember cross member bar bearer batten slat lath rung tread riser step ladder brace bracing strut tie
diagonal gusset cleat clip lug tab ear bracket brkt support prop stiffener rib spine arm foot pad base plinth sole
sill head header lintel jamb frame subframe shelf top bottom btm mid middle centre center upper lower inner outer
inside outside front back rear side end left right hand near far high low long short main spare extra picket baluster
spindle handrail guardrail kick toe kicker infill panel gate door stile hinge latch corner edge nosing trim lip lid
cover roof wall floor deck platform bench table counter stall market stand rack firewood log kayak canoe boat trolley
cart basket box tray awning canopy shade screen sign hook hanger bolt hole pin spigot sleeve socket packer spacer shim
liner guide runner track skid roller axle chord web truss portal arch boom jib mast pole rod stake peg hoop ring fence
fencing boundary railing stair landing balcony mezzanine ramp wheel castor caster drawer cupboard cabinet shop
workshop yard site van customer client house shed barn garden kitchen porch carport pergola trellis planter tank pump
machine motor tool jig fixture test sample prototype brush clean grind ground dress deburr degrease sand sandblast
blast shotblast polish linish file cut saw sawn drill tap punch weld tack fit fix mount assemble bundle bundled tag
stamp mark label paint painted prime primer primed powder coat coated powdercoat spray lacquer oil oiled pack wrap
ship deliver collect pick loose tight flush proud level plumb straight true new used second secondhand old good bad
best rusty rust pitted bent dented scratched scratch red green blue white grey gray black yellow orange brown silver
finish matt gloss dry wet please pls plz thanks thank thx ta cheers sorry ok okay asap urgent rush need needed want
wanted required req order ordered get make made take use only also just maybe and or with without for from of the a an
in on at to by as per is are be this that these those it its i we you my our your all any each both other same more
less then than so if not no yes see drg dwg drawing sketch note nb rev revision ref detail typ typical nom overall oa
allow kerf tolerance tol approx exact exactly full half whole random total min max available stock bin behind under
above below next location bay row reserved hold held keep kept job project phase area zone item group type style
version over leftover remnant offcut drop stub length lengths lg pcs welded seam mill scale certified cert mtr
rail-top kickplate toeboard footrest footing crosspiece crossbar cross-bar crossrail crosstie midrail toprail
bottomrail sidewall endwall shelves feet loft packing lifting eye cap capped plug plugged threaded tapped slot slotted
notch counterbore unit units assembly assy part parts piece frames padded shear sheared plasma laser lasered hanging
hang lock locking free stay stays wind rope chain net mesh cladding sheet board ply timber wood hatch window vent flue
pipework duct
"""
_GERMAN: Final = """
bein fuss pfosten stiel stutze stander saule trager unterzug riegel holm langsholm querholm handlauf untergurt
obergurt gurt strebe querstrebe diagonale diagonal kopfband sprosse stab fullstab sparren pfette first latte leiste
auflage konsole lasche knotenblech steife aussteifung verband zugband zugstab druckstab traverse quertrager
langstrager rahmen tur torflugel flugel zarge boden dach wand seite ecke kante mitte oben unten vorne hinten links
rechts innen aussen kurz lang hoch tief quer langs senkrecht waagrecht waagerecht schmal breit neu alt gebraucht
rostig rost leicht verkratzt verbogen lager hof regal halle werkstatt kunde baustelle muster ersatz reserve rest
reststuck haken ose zapfen hulse buchse distanz abstandhalter unterlage futter fuhrung schiene laufschiene achse rolle
gelander treppe stufe podest balkon zaun pergola carport marktstand stand bude holzregal brennholz kajak kanu boot
tisch bank werkbank arm tragarm ausleger verbinder verbindung anschluss kopf kopfplatte fussplatte deckel abdeckung
blende schuh anker halter halterung bugel griff turschild scharnier entgraten entgratet saubern gesaubert reinigen
schleifen geschliffen gestrahlt sandgestrahlt strahlen polieren gebohrt gebeizt grundiert lackiert lackieren
pulverbeschichtet beschichtet streichen gestrichen gesagt sagen geschnitten gelasert lasern schweissen geschweisst
heften gestanzt stempeln markieren beschriften liefern lieferung abholen versand montage werkseitig bitte danke dank
gruss eilig dringend moglichst sofort nur auch noch und oder mit ohne fur von vom aus in im am an auf zum zur bei der
die das den dem ein eine einen alle jede je so wie siehe zeichnung skizze pos nr stk ca bzw inkl samt gleich wird
wurde sind ist genau mass masse fertigmass zuschnitt winklig rechtwinklig gerade schwarz blank rot blau grun grau
weiss anthrazit ral lfm kurze lange untere obere vordere hintere linke rechte aussere innere schlitz gewinde loch
"""
_FRENCH: Final = """
pied montant poteau colonne traverse longeron lisse entretoise barreau barreaudage barrette jambe jambette arbaletrier
chevron panne faitage fermette poutre poutrelle solive diagonale contreventement croisillon renfort raidisseur gousset
equerre patte platine oreille support console appui tablette etagere cadre dormant ouvrant vantail porte portail
portillon battant seuil linteau socle base semelle tete chapeau couvercle cache main courante garde corps rampe marche
limon escalier balcon cloture grille etal stand banc table chevalet rangement buches bois kayak canoe bateau auvent
toit toiture mur sol plancher angle coin bord haut bas haute basse hauts basses milieu centre avant arriere gauche
droite interieur exterieur int ext cote cotes long court longue courte petit petite grand grande gros principal
secondaire rechange secours chute reste neuf usage rouille rouillee tordu raye stock atelier depot client chantier
commande plan croquis repere rep detail voir note ebavurer ebavure ebavures ebarber percer perce perces souder soude
pointer meuler meule poncer brosser nettoyer degraisser sabler sable peindre peint peinture appret laque thermolaque
couper coupe scier scie debiter debit livrer livraison emballer marquer poinconner tarauder svp stp merci bcp beaucoup
bonjour urgent vite pour avec sans et ou de du des la le les un une en sur sous par au aux dans a ce cette ces ne pas
que qui si tout toute tous toutes chaque meme aussi seulement encore environ exactement noir blanc rouge bleu vert
gris inclus compris lg ht brut fini dimension montage raccord crochet anneau douille manchon axe rail guide coulisse
glissiere roulette bouchon cale
"""
_SPANISH: Final = """
pata pie montante poste pilar columna larguero travesano travesa traviesa barrote balaustre pasamanos barandilla
baranda refuerzo cartela escuadra pletina orejeta placa soporte apoyo mensula repisa estante bandeja marco bastidor
hoja puerta porton cancela dintel umbral base zocalo cabezal tapa cubierta viga vigueta correa cabio cumbrera cercha
tirante tornapunta diagonal riostra arriostramiento peldano huella zanca escalera balcon valla cerca reja puesto
mercado banco mesa caballete lenero lena kayak canoa barca toldo techo pared suelo esquina canto borde arriba abajo
medio centro delante detras delantero trasero delantera trasera izquierda derecha interior exterior superior inferior
superiores inferiores lado lados largo largos corto cortos larga corta pequeno grande principal repuesto recambio
sobrante resto retal nuevo nueva usado oxidado torcido rayado almacen taller cliente obra pedido plano croquis ver
nota desbarbar rebabar taladrar taladro soldar soldado puntear amolar lijar limpiar granallar granallado pintar
pintado imprimacion lacado cortar cortado corte serrar entregar entrega envio marcar roscar favor gracias hola urgente
para por con sin y o de del la las el los un una en sobre bajo al a que si todo todos toda cada mismo tambien solo mas
menos exacto aproximado negro blanco rojo azul verde gris incluido medida bruto gancho anilla casquillo manguito eje
guia corredera rueda tapon calzo uds ud
"""
_ITALIAN: Final = """
gamba piede montante palo pilastro colonna traverso traversa corrente longherone longarone listello barra barretta
asta puntone saetta diagonale controvento rinforzo fazzoletto squadretta piastra orecchia linguetta supporto appoggio
mensola ripiano scaffale telaio cornice anta battente porta portone cancello soglia architrave base zoccolo testa
coperchio trave travetto arcareccio terzere colmo capriata tirante gradino cosciale scala parapetto corrimano
ringhiera balcone recinzione griglia banco mercato tavolo panca cavalletto legnaia legna kayak canoa barca tettoia
tetto muro pavimento angolo bordo spigolo alto alta basso bassa medio centro davanti dietro anteriore posteriore
sinistra destra sinistro destro interno esterno superiore inferiore lato lati lungo corto lunga corta piccolo grande
principale ricambio scorta avanzo ritaglio spezzone nuovo usato arrugginito piegato graffiato magazzino officina
cliente cantiere ordine disegno schizzo vedi nota sbavare sbavato sbavati forare foro fori saldare saldato puntare
molare carteggiare pulire pulito sabbiare sabbiato verniciare verniciato verniciati tagliare taglio tagliato segare
consegna consegnare spedire marcare filettare filettato favore grazie ciao buongiorno urgente per con senza e o di del
della dei la le il lo i gli un una in su sotto da al alla che se tutto tutti tutta ogni stesso anche solo piu meno
esatto nero bianco rosso blu verde grigio incluso misura grezzo gancio anello boccola manicotto perno guida binario
ruota tappo spessore pz
"""
_DUTCH: Final = """
poot been voet staander stijl kolom paal ligger dwarsligger langsligger dwarsbalk balk regel bovenregel onderregel
tussenregel schoor spijl leuning handregel kniestuk hoekstuk versteviging verstevigingsplaat schetsplaat strip lip oor
oog steun drager legger plank schap kader raam deur poort vleugel drempel latei voetplaat kopplaat deksel afdekking
spant gording nok kepers trekstang windverband diagonaal trede trapboom trap balkon hek hekwerk rooster kraam markt
tafel bank schraag houtopslag brandhout kajak kano boot luifel dak wand vloer hoek rand boven onder midden voor achter
links rechts binnen buiten bovenste onderste kort lang korte lange klein groot reserve rest restant reststuk nieuw
gebruikt roestig krom magazijn werkplaats klant werk bestelling tekening schets zie opmerking ontbramen ontbraamd
boren geboord lassen gelast hechten slijpen geslepen schuren reinigen schoonmaken stralen gestraald schilderen
geschilderd gelakt gepoedercoat coaten zagen gezaagd snijden gesneden leveren levering afhalen ophalen merken tappen
graag alsjeblieft aub svp bedankt dank groet spoed dringend met zonder en of van de het een in op aan bij uit te ter
om als dat die dit deze is zijn wordt alle elk elke ook alleen nog meer minder exact zwart wit rood blauw groen grijs
inclusief maat haak ring bus as rail geleider wiel dop vulplaat haaks recht rechte stuks st
"""
_STEMS: Final = frozenset(
    fold(word) for words in (_ENGLISH, _GERMAN, _FRENCH, _SPANISH, _ITALIAN, _DUTCH) for word in words.split()
)
_ENDINGS: Final = (
    "",
    "s",
    "es",
    "n",
    "en",
    "e",
    "er",
    "r",
    "ed",
    "d",
    "ing",
    "i",
    "ne",
    "ten",
    "ken",
    "len",
    "pen",
    "se",
)
"""Of plurals, cases and participles."""
_LAST_PARTS: Final = (
    "strebe", "streben", "stab", "stabe", "riegel", "holm", "holme", "pfosten", "stutze", "stutzen", "rahmen",
    "trager", "latte", "latten", "leiste", "leisten", "fuss", "fusse", "bein", "beine", "arm", "arme", "platte",
    "platten", "blech", "winkel", "halter", "schiene", "schienen", "sparren", "pfette", "pfetten", "lasche",
    "laschen", "auflage", "auflagen", "bugel", "haken", "stander", "gurt", "gurte", "sprosse", "sprossen",
    "diagonale", "diagonalen", "kante", "teil", "teile", "ligger", "liggers", "regel", "regels", "balk", "balken",
    "stijl", "stijlen", "plaat", "platen", "poot", "poten", "voet", "voeten", "schoor", "schoren", "steun",
    "steunen", "spijl", "spijlen", "drager", "dragers", "hoek", "hoeken", "rail", "rails", "bar", "bars", "beam",
    "post", "posts", "plate", "plates", "member", "members", "piece", "frame", "support", "brace", "braces", "rest",
    "rack", "stand", "board", "leg", "legs", "arms", "bracket", "brackets", "holz", "tor", "tur", "tisch", "bank",
    "gestell", "regal", "dach", "wand", "boden", "seite", "seiten", "stuck", "stucke",
)  # fmt: skip
"""Of German, Dutch and English words that are put together."""
_KNOWN: Final = frozenset(
    {*COUNTERS, *DITTO, *HANDS, *LENGTH_WORDS, *MARK_WORDS, *NOTE_WORDS, *NUMBERS, *QUANTITY_WORDS, *TOTAL_WORDS}
    | {*NEUTRAL, *TAGS}
)
_INITIALS: Final = 2
"""Letters of a word too short to be a material or a section: initials, abbreviations."""


@lru_cache(maxsize=8192)
def is_harmless(word: str) -> bool:
    """Whether a folded word is known to change nothing of a part that it stands beside.

    Examples
    --------
    >>> is_harmless("legs"), is_harmless("querstreben"), is_harmless("barreaudage"), is_harmless("unobtainium")
    (True, True, True, False)
    """
    if len(word) <= _INITIALS or word in _KNOWN or is_also(word) or is_set(word):
        return True
    if any(word.endswith(end) and word[: len(word) - len(end)] in _STEMS for end in _ENDINGS):
        return True
    if word[-1] in "ei" and any(word[:-1] + end in _STEMS for end in "aeo"):  # gamba, gambe; corrente, correnti
        return True
    return word.endswith(_LAST_PARTS)
