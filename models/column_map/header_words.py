"""Words of column headers in several languages, brought to one trade word each.

English, German, French, Spanish, Italian and Dutch, from general usage; accents and case are dropped before the
look-up (`ä` is also known as `ae`). A word that stands for two joined words gives both.
"""

from __future__ import annotations

from collections.abc import Iterator

# Trade word -> the header words that mean it, written without accents.
_MEANINGS = {
    "sale": "sale sales order orders bestell bestel bestellung auftrag verkauf commande vente pedido venta ordine "
    "vendita bestelling",
    "number": "number no nr num id nbr key nummer numero n",
    "line": "line row pos position zeile ligne linea riga regel posizione posicion regelnr",
    "sold": "sold purchased bought kauf aankoop verkauft vendu vendido venduto verkocht gekauft",
    "date": "date dated datum fecha dag day when timestamp tag tage jour dia giorno",
    "channel": "channel site kanal canal canale kanaal marketplace marktplatz plateforme",
    "item": "item items product article artikel produkt produit articulo producto articolo prodotto goods ware",
    "type": "type kind category typ kategorie categorie categoria sorte tipo class warengruppe",
    "sku": "sku",
    "stock": "stock lager bestand existencias giacenza voorraad inventory hand available",
    "quantity": "quantity qty units pieces pcs stuck stueck menge anzahl quantite cantidad quantita aantal stk count",
    "price": "price preis prix precio prezzo prijs verkaufspreis",
    "postage": "shipping postage port porto porti versand versandkosten freight carriage envio spedizione verzending "
    "verzendkosten livraison delivery shippingcost",
    "charged": "charged collected",
    "fee": "fee fees commission gebuhr gebuehr provision comision commissione frais commissie verkaufsgebuhr",
    "destination": "destination dest ziel destino destinazione bestemming consignee",
    "prefix": "prefix",
    "postal": "zip postal postcode plz postleitzahl postalcode zipcode cp cap",
    "carton": "carton box karton schachtel caja scatola doos kartons cartons boite",
    "code": "code kode codigo codice kurzel kuerzel",
    "from": "from since ab von depuis desde dal valid effective gultig gueltig vanaf",
    "style": "style fefco bauart",
    "inside": "inside inner internal int inn innen binn interieur interne interior interno interna binnen",
    "outside": "outside outer external ext auss aussen exterieur externe exterior esterno externo buiten",
    "length": "length len l lange laenge longueur largo longitud lunghezza lengte longest long",
    "width": "width wide w wid b breite largeur ancho anchura larghezza breedte",
    "height": "height high hgt ht h hohe hoehe hauteur alto altura altezza hoogte depth d tiefe t",
    "side": "side seite cote lado lato zijde",
    "thickness": "thickness caliper wall wand dicke starke staerke epaisseur grosor espesor spessore dikte board",
    "cost": "cost costs kosten cout coste costo kost",
    "cut": "cut cuttable trimmed geschnitten schnitt snij kurzbar coupe cortado gesneden",
    "minimum": "minimum min mindest least moq lowest smallest minimo",
    "parcel": "parcel package pkg label tracking shipment paket sendung colis paquete "
    "pacco pakket airwaybill consignment",
    "packed": "packed pack verpackt verpack gepackt emballe embalado imballato ingepakt packing verpackung emballage "
    "embalaje imballo verpakking packaging",
    "shipped": "shipped ship dispatched dispatch versendet verschickt expedie expedition enviado spedito verzonden "
    "despatched",
    "carrier": "carrier courier spediteur transporteur transportista corriere vervoerder paketdienst frachtfuhrer",
    "service": "service dienst servicio servizio versandart",
    "level": "level stufe",
    "zone": "zone zona",
    "residential": "residential home private privat residentiel privatadresse residencial residenziale domicile",
    "declared": "declared insured versichert declaree declare declarado dichiarato verzekerd",
    "value": "value wert valeur valor valore waarde warenwert worth",
    "method": "method methode metodo how",
    "rectangular": "rectangular rechteckig rectangulaire square boxy",
    "scale": "scale gross brutto waage brut bruto lordo weighed",
    "weight": "weight wt gewicht poids peso mass",
    "packer": "packer bench station packplatz",
    "minutes": "minutes mins minute time zeit dauer duration duree minuten minuti minutos tiempo",
    "invoice": "invoice bill rechnung facture factura fattura factuur inv",
    "billed": "billed invoiced berechnet abgerechnet facturee facturado fatturato gefactureerd rated berechnetes",
    "charge": "charge charges posten leistung leistungsart toeslag",
    "description": "description beschreibung bezeichnung descripcion descrizione omschrijving text",
    "amount": "amount net netto betrag montant importe importo bedrag total sum",
    "customer": "customer client kunde kunden klant",
    "document": "document doc beleg documento",
    "reference": "reference ref referenz referencia riferimento referentie",
    "claim": "claim case reklamation schaden reclamation reclamacion reclamo klacht ticket",
    "opened": "opened reported gemeldet melde melding ouvert created abierto aperto gemeld raised",
    "cause": "cause reason grund ursache motif motivo reden why",
    "state": "state status stand statut estado stato",
    "filed": "filed submitted sent eingereicht depose presentado inoltrato ingediend lodged",
    "decided": "decided closed resolved settled entschieden decide resuelto deciso besloten ruling",
    "damaged": "damaged broken broke beschadigt beschaedigt kaputt endommage danado danneggiato beschadigd damage",
    "part": "part teil pieza parte onderdeel bauteil component",
    "evidence": "evidence photo photos findings befund preuve prueba prova bewijs",
    "claimed": "claimed demand asked requested gefordert forderung reclame demande reclamado richiesto geeist",
    "paid": "paid payout got recovered reimbursed bezahlt gezahlt paye pagado pagato betaald recovery",
    "refund": "refund refunded erstattung remboursement reembolso rimborso terugbetaling rueckzahlung ruckzahlung",
    "replacement": "replacement resend reshipped reshipment ersatz ersatzlieferung "
    "remplacement reemplazo sostituzione vervanging",
    "return": "return returned rucksendung ruecksendung retour devolucion reso",
    "salvage": "salvage restwert residual",
    "material": "material materials materialkosten materiel materiale materiaal",
    "clearance": "clearance gap spielraum luft padding margin cushion abstand",
    "turns": "turns orientation lage",
    "fragile": "fragile breakable zerbrechlich empfindlich breekbaar",
    "allowance": "allowance included",
    "surcharge": "surcharge accessorial zuschlag supplement suplemento supplemento",
    "unit": "unit each einzel stuks unitaire unitario single",
}

# Joined words that do not mean what their parts do.
_JOINED = {
    "artikelnummer": "sku",
    "artikelnr": "sku",
    "artikelart": "item type",
    "stuckpreis": "unit price",
    "stueckpreis": "unit price",
    "stuckkosten": "unit cost",
    "stueckkosten": "unit cost",
    "versanddatum": "shipped date",
    "verzenddatum": "shipped date",
    "versandtag": "shipped date",
    "verpackungsart": "packed method",
    "mindestmenge": "minimum sale",
    "moq": "minimum sale",
}
# Letters that join the parts of a German or Dutch word.
_JOINTS = ("", "s", "n", "en", "e", "ungs")

_SMALL_WORDS = """
of the a an to in on at by for per is was and  de du des la le les et d l  der die das den und fur fuer
el los y il lo di da  van het en
"""
_STOP = frozenset(_SMALL_WORDS.split()) - {"l"}


def _meanings() -> Iterator[tuple[str, tuple[str, ...]]]:
    for trade_word, header_words in _MEANINGS.items():
        yield trade_word, (trade_word,)
        for word in header_words.split():
            yield word, (trade_word,)
    for word, trade_words in _JOINED.items():
        yield word, tuple(trade_words.split())


MEANS: dict[str, tuple[str, ...]] = dict(_meanings())


def trade_words(words: list[str]) -> frozenset[str]:
    """The trade words that plain lower-case `words` stand for; strange words are kept, small ones dropped."""
    found: set[str] = set()
    if len(words) > 1 and words[-1] in ("on", "at"):
        found.add("date")
    for word in words:
        if word in MEANS:
            found.update(MEANS[word])
        elif word not in _STOP:
            found.update(_stem(word) or _parts(word) or (word,))
    return frozenset(found)


def _stem(word: str) -> tuple[str, ...]:
    """A plural or a German genitive stands for its word."""
    return MEANS.get(word.removesuffix("s"), MEANS.get(word.removesuffix("e"), ()))


def _parts(word: str) -> tuple[str, ...]:
    """A word joined from two known words, such as `Rechnungsdatum` or `trackingnumber`."""
    for at in range(3, len(word) - 1):
        left, right = word[:at], word[at:]
        if right in MEANS and len(right) > 1:
            bare = next((left.removesuffix(joint) for joint in _JOINTS if left.removesuffix(joint) in MEANS), None)
            if bare and len(bare) > 2:
                return (*MEANS[bare], *MEANS[right])
    return ()
