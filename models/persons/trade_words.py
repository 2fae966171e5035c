"""Words of the trade and everyday words: what a remark on a parcel is made of. None of them alone is taken for a name.

Common practice, no source: collected from what is written on goods, packing, damage, carriers and the calendar.
"""

from __future__ import annotations

from models.persons.words import folded

_ENGLISH = """
a about above across address after again against air all almost along already also although always am america american
among an and angeles another any anyone anything approx apr april around as aside ask asked at aug august ave avenue
away back badly be because been before began begin behind being believed below belt beneath berlin beside best better
between beyond big bit black blue both bottom boulevard brand bridge bright bring britain british broad broke broken
brought brown but buy buyer by call called came can canada canadian cannot carrier case caught cause caused cedar
center centre certain changed check checked chicago claim claimed clean clear clearly close closed co cold come
company complete completely contact conveyor corp could count courier court cover covered customer cut dallas damaged
dark date day days dear dec december decent deep definitely deliver delivered delivery denver depot did different do
dock does done door double down dr drive driver drop dropped dry due during dutch each early easily east eastern easy
economy either elm else empty end ended ends england english enough entire etc europe european even evening ever every
everything evidence except express extra face fair fall fallen far fast fault feb february few field fifth fill filled
final find fine first fit five fixed flat flew floor fold folded for found four fourth fragile france francisco free
freight french fresh fri friday from front full fully gap gave german germany get give given gmbh go goes gold gone
good got gray great green grey ground had half hand handed handle handled hard has hat have he head heard heavy heel
height held hello help her here hi high him his hit hold holding hole home hour hours how however hub i if in inc inch
inches inside instead into is it italian italy item items its itself jagged jan january jul july jun june just keep
kept kind knew know known lack lane large last late later lay leak leaked least leave left less let letter level lid
lie light like likely line list little llc ln local london long longer look looked loose lorry los lost lot low lower
ltd lying madam made mail main make many maple mar march mark marked market marketplace marks match may maybe mean
means measure middle might mind minor minute minutes miss missed missing mixed moisture mon monday month months more
morning most moved mr mrs ms much must mx my narrow near nearly need needed neither never new next night nil no nobody
none noon nor north northern not note noted nothing nov november now nr number oak oct october odd of off offered
office often ok okay old on once one only onto open opened opening or orange order ordered other our out outer outside
over overnight own pack package packages packed packer packing pair pale pallet parcel parcels paris park part partly
parts past pcs people perfect perhaps person photo photograph photos picture piece pieces pine pink place placed plain
plc please plus point polish poor possible post postal price priority probably problem proof proper properly pulled
purple push pushed put qty quick quickly quite rather rd re reached ready real rear reason received record red ref
refund refused regards removed repair repaired repeat replaced report reported request rest return returned rich right
ring ripped road roll rose rough round row run rust rusty safe said same san sat saturday save saver saw say says
scale seal sealed seam seams second see seems seen sell seller send sent sep separate sept september service set seven
several shape sharp she ship shipped shipper shipping shop short should show showed shown shows side sides sign signed
silver since single sir six size skin slid slightly slip slipped slow small smell so soft sold some someone something
soon sorry sorter south southern spain spanish speak spoke spot square st stack stacked stain stained stand standard
start started state states station stay still stood stop store stored straight strap street strong stuck such sun
sunday sure surface take taken tall tell ten than thank thanks that the their them then there these they thick thin
thing things think third this those though three through thrown thu thur thurs thursday till time tiny to today
together told tomorrow too took top torn total touch touching toward track tracking tried truck true try tue tues
tuesday turn turned twice two type uk undamaged under unit unknown unless until up upon upper upside usa use used user
usual van vehicle vendor very via view visible wait want warehouse warm was water way we wed wednesday week weeks
weight well went were west western wet what when where whether which while white who whole why wide width will wind
window with within without wood word wore work worn would wrap write written wrong wrote yard yellow yes yesterday yet
york you young your zone
"""
_GOODS = """
abrasion accessories accessory adapter adjuster agent aluminium aluminum amount antique arm arms arrow arrows bag bags
barcode barlow base bases batch battery bearing bearings bench bend bends bent bicycle bike blind blinds block blocks
board boards body bolt bolts bow bowed box boxed boxes bracket brass break breaks bridge broke broken bubble buckle
buckled bulge bulged bulging burst button buttons cabinet cable cap caps cardboard carpet carton cartons caution cell
cellulose ceramic chair charger chip chipped chips claim claims clamp clamps clerk cloth cm coating collapse collapsed
compress compressed compression cone consignee container control copper cord corner corners corroded corrugated
counterweight counterweights cover crack cracked cracks crate crease creased credit crush crushed crushing curtain
cushion cushioned cushioning damage damages damp declared delay delayed dent dented dents depth desk detached dew dial
diameter dimensional dirt dirty dispute divider dividers double dovetail drawer dust dusty edge edges end ends
envelope excelsior exchange eyepiece eyepieces fabric fan fee feet filament fill filler film filter filters finder
finish fitting fittings flap flaps flute foam focuser foot fork fragile frame frames full gasket gauge gear gears
girth glass glue glued grade gram grams grease grip grips guitar handle handlebar handles handling hardware headstock
heavy height hinge hinges honeycomb hood hose hub humid impact impacts inch indicator insert inserts inspected
inspection inspector instructions insurance insured invoice iron item key keys kg kit knob knobs kraft label labeled
labelled labels lacquer lamp latch layer layers lb lbs leather leg legs length lens lenses light liner lining listing
lock locks logger loosened lost lot manager manual metal meter mirror mirrors misaligned mishandled misrouted missing
mm model mold molded motor mould moulded mount mounting mounts moved movement neck neighbor neighbour newspaper nose
nut nuts oak oar oil oily opened operator optic optical optics order oversize overweight oz pad padded padding paddle
pads paint pair panel panels paper partial peanut peanuts pedal photos pierced pillow pillows pipe pipes plastic plate
plates plug ply pole poles polystyrene porcelain pot pouch pound pounds prism protector protectors puncture punctured
quality rack rail rails rattle rattled rattles rattling receipt reception recipient refund refurbished repacked
replaced replacement resealed return returned returns reused rim rip ripped rips rocker rod rods rub rubbed rug rusted
saddle sale scan scanned scanning scope scopes scratch scratched scratches screw screws scuff scuffed scuffs seal
seals seam seat sender sensor serial series set shade shades shaft shatter shattered sheet sheets shelf shield shift
shifted shifting shock short shortage sign signature signed single ski skis sku sleeve slid smashed snap snapped
soaked spacer spare spares speaker speakers spider split splits splitting spoke spring springs squash squashed staff
stain stains stand staple staples steel sticker stitching stolen strap strapped strapping straps straw stretch string
strings styrofoam supervisor surcharge surfboard switch table tail tampered tape taped tapes team tear tears telescope
telescopes terminal theft thickness thread threads tilt tissue tore torn transit tray trays triple tripod tripods tube
tubes twisted unit units upright value valve vane varnish vase veneer version vibration video vintage void volume wall
walls warehouse warning warp warped washer wheel wheels width wooden wool worker wrap wrapped wrapper wrapping wrinkle
wrinkled wrong zipper
"""
_OTHERS = """
abajo abgelehnt abierto adhésif alt am an angenommen angoli angolo aperto aplastada aplastado arriba auf aufgerissen
aus avec bagnato bajo band bas bei beschädigt beschädigung beule bij bitte boden bord borde bordo bords bouchon boîte
brisé brisée buis caja cajas carton cartons cassé cassée cinta client cliente coin coins colis con consegna dans das
de deckel delle dem den der derecha des devolución die doblado doos dop dozen droite du déchiré déchirée e ecke ecken
een ein eine einem einen einer eingedrückt el embalaje emballage en enfoncé entrega espejo espuma esquina esquinas est
et etikett etiqueta falta fehlend fehlt fehlte feucht film fissuré folie frau fuß füllung füße gauche gebrochen
gebroken gedeukt gedrückt geen gerissen gescheurd gewicht glas gli haben halterung hat haut herr het hinten hoek
hoeken humide il im in ist izquierda kante kanten kappe kappen karton kartons kein keine kiste klant klebeband kratzer
kunde kundin la las le leicht les lieferung links linse livraison lo los lose luftpolster madame manca manquant
manquante met miroir mit mitte mojado monsieur montierung mouillé mousse naar nach nass nastro nat neu nicht niet o
oben oder offen ohne okular ontbreekt op ou ouvert pacco paket pakete pakket papel papier paquete par para pata patas
per pied pieds piegato platz plié polster poot por pour rand rasgado rechts refusé retour riss rohr rota rotas roto
rotos rotta rotto röhre rücksendung sans scatola schaden schaum schiacciato schiuma schraube schrauben schuim seite
seiten senza señor señora sin sind sobre sockel sous specchio spiegel stark statief stativ strappato straße stück su
sucher support sur tapa tappo tordu tornillo treppiede trípode tube tubo uit un una unas und une uno unos unter van
verbogen verpackt verpackung verre versand verzogen vetro vidrio vis vite vom von voor vor vorne war weg wurde wurden
y zerbrochen zerdrückt zonder zum zur zurück écrasé écrasée était étiquette über
"""
TRADE_WORDS = frozenset(folded(word) for words in (_ENGLISH, _GOODS, _OTHERS) for word in words.split())
# Ends of German and Dutch compounds of the trade, written as one word: Seitenkarton, Endkappe.
_ENDS = """
karton kartons kiste rohr kappe kappen deckel boden ecke ecken kante seite wand schaum folie polster papier band schaden
glas fuß spiegel stativ gewicht verpackung füllung schraube teil teile stück doos hoek buis
"""
TRADE_ENDS = tuple(folded(word) for word in _ENDS.split())


def is_trade_word(word: str) -> bool:
    """Whether a folded word belongs to the trade or to everyday language, also with a plural or verb ending."""
    if word in TRADE_WORDS or (len(word) > 5 and word.endswith(TRADE_ENDS)):
        return True
    for ending in ("s", "es", "ed", "d", "ing", "ly"):
        if word.endswith(ending) and len(word) - len(ending) >= 3 and word.removesuffix(ending) in TRADE_WORDS:
            return True
    return False
