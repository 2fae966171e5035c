"""German header words; joined ones are taken apart into these."""

WORDS = """
sale: bestell bestellung bestellungen auftrag auftrage verkauf order
sold: verkauf verkauft kauf gekauft vertrieb absatz
number: nummer nr kennung
reference: referenz zeichen ref
title: titel
line: zeile pos position posten
date: datum tag zeitpunkt zeitstempel
clock: uhrzeit zeit
received: eingang eingegangen
channel: kanal marktplatz weg plattform shop
item: artikel produkt ware waren art
type: art typ gruppe sorte familie
kind: kategorie klasse
stock: lager bestand vorrat
quantity: menge anzahl stuck stueck stk stuckzahl stueckzahl
unit: einzel einheit stuck stueck
price: preis
postage: versand porto fracht lieferung liefer zustellung
charged: berechnet berechnetes erhoben kassiert
contribution: anteil beitrag
flat: pauschale pauschal
fee: gebuhr gebuehr provision entgelt
customer: kunde kunden kaufer kaeufer besteller
sender: absender versender
destination: ziel empfang
postal: plz postleitzahl post
carton: karton kartons schachtel kiste
size: grosse groesse format
code: kode kurzel kuerzel
from: ab seit gultig gueltig
style: bauart
inside: innen
outside: aussen
length: lange laenge
width: breite b
height: hohe hoehe tiefe t
side: seite kante
thickness: wand dicke starke staerke
cost: kosten einstand
cut: geschnitten schnitt kurzbar
minimum: mindest
parcel: paket sendung packstuck packstueck frachtbrief sendungsverfolgung versand kolli
shipment: sendung
packed: verpackt verpackung gepackt gepackte pack
used: verwendet verwendeter benutzt
cushion: polsterung polster fullung fuellung fullmaterial fuellmaterial schutz
shipped: versand versendet verschickt abgang ausgang versandt verladen
pickup: abholung abhol abgeholt
carrier: spediteur spedition frachtfuhrer frachtfuehrer paketdienst beforderer befoerderer transporteur
company: unternehmen firma
service: dienst versandart leistung
level: stufe
tariff: tarif
residential: privat privatadresse privathaushalt
declared: versichert angegeben deklariert
value: wert warenwert
method: methode verfahren
rectangular: rechteckig
scale: brutto waage gewogen gemessen
weight: gewicht masse
tare: tara leer leergewicht
overlap: uberlappung ueberlappung
packer: packplatz
bench: platz tisch station
minutes: zeit dauer minuten
invoice: rechnung faktura abrechnung
issue: ausstellung ausgestellt ausstell
billed: berechnet abgerechnet berechnetes abgerechnetes frachtpflichtig frachtpflichtiges fakturiert fakturiertes
charge: posten leistung leistungs gebuhr gebuehr kosten entgelt
description: beschreibung bezeichnung text
amount: betrag
net: netto
total: gesamt summe
document: beleg dokument
claim: reklamation schaden schadens schadensfall
opened: gemeldet melde meldung
cause: grund ursache
state: stand status bearbeitungsstand
filed: eingereicht
decided: entschieden
damaged: beschadigt beschaedigt kaputt
part: teil bauteil
evidence: befund
claimed: gefordert forderung
granted: bewilligt bewilligter zugesagt anerkannt
paid: bezahlt gezahlt
refund: erstattung ruckzahlung rueckzahlung
replacement: ersatz ersatzlieferung
return: rucksendung ruecksendung
salvage: restwert
material: materialkosten
clearance: spielraum luft abstand
turns: lage
fragile: zerbrechlich empfindlich
surcharge: zuschlag
due: fallig faellig falligkeit
payment: zahlung zahlungs zahlungsart
currency: wahrung waehrung
tax: steuer mwst ust mehrwertsteuer umsatzsteuer
percent: satz prozent
country: land ursprung ursprungs
town: ort stadt
warehouse: lagerort lagerplatz
remark: bemerkung bemerkungen notiz hinweis
centre: stelle zentrum
street: anschrift strasse adresse
= artikelnummer: item number
= artikelnr: item number
= artikelart: item type
= warengruppe: item type
= verkaufspreis: sold price
= stuckpreis: unit price
= stueckpreis: unit price
= stuckkosten: unit cost
= stueckkosten: unit cost
= versanddatum: shipped date
= versandtag: shipped date
= verpackungsart: packed method
= lieferzeit: lead time
= wiederbeschaffungszeit: lead time
= verpackungseinheit: bundle
= mindestmenge: minimum sale
= postleitzahl: postal
= packzeit: packed minutes
title: titel angebotstitel
voided: storniert
insured: versichert versicherungswert versicherter
first: erster erste erstes
created: erstellt
promised: zugesagt versprochen
latest: spatestes spateste
condition: zustand beschaffenheit
resold: wiederverkauft
depreciation: wertverlust wertminderung abwertung
steps: schritte arbeitsschritte anleitung
counted: gezahlt gezaehlt inventur
lead: lieferfrist
bundle: bund bundel buendel gebinde vpe
"""
