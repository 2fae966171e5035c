"""Italian header words."""

WORDS = """
sale: ordine ordini ordinata ordinate ordinato
sold: vendita vendite venduto venduta vendute acquisto acquistato
number: numero num nr n identificativo
reference: riferimento rif
title: titolo
line: riga posizione
date: data giorno
clock: ora
received: ricezione ricevuto
channel: canale piattaforma negozio
item: articolo articoli prodotto prodotti merce merceologico merceologica
type: tipo gruppo famiglia
kind: categoria classe genere natura
stock: giacenza scorta
quantity: quantita qta pezzi unita
unit: unitario unitaria pezzo unita
price: prezzo
postage: spedizione trasporto consegna porto nolo spese
charged: addebitate addebitato addebitata addebitati
contribution: contributo quota
flat: forfettario forfait
fee: provvigione commissione commissioni
customer: cliente acquirente
sender: mittente speditore
destination: destinazione consegna
postal: cap postale
carton: scatola cartone scatole
size: formato misura
code: codice cod
from: dal valido
inside: interno interna interne
outside: esterno esterna esterne
length: lunghezza lungh
width: larghezza largh
height: altezza alt profondita
side: lato
thickness: spessore
cost: costo costi spese
cut: tagliato taglio
minimum: minimo minima
parcel: pacco collo colli tracciamento spedizione vettura
shipment: spedizione
packed: imballato imballata imballaggio imballo confezionato
used: usata utilizzata
cushion: imbottitura riempimento protezione
shipped: spedito spedizione partenza uscita
pickup: ritiro ritirato
carrier: vettore corriere trasportatore spedizioniere
company: azienda impresa ditta
service: servizio
level: livello
mode: modalita
zone: zona
tariff: tariffa tariffaria tariffario
residential: residenziale privato domicilio
declared: dichiarato
value: valore
method: metodo
rectangular: rettangolare
scale: lordo bilancia pesato misurato rilevato
weight: peso massa
tare: tara vuoto vuota
overlap: sovrapposizione
bench: postazione banco posto
minutes: tempo durata minuti
invoice: fattura
issue: emissione emessa
billed: fatturato tassabile fatturabile
charge: voce addebito addebiti
description: descrizione denominazione
amount: importo
net: netto netta
total: totale
document: documento bolla
claim: reclamo sinistro
opened: aperto segnalato
cause: motivo causa
state: stato
filed: inoltrato presentato
decided: deciso
damaged: danneggiato rotto
part: parte
evidence: prova
claimed: richiesto
granted: riconosciuto concesso
paid: pagato pagata
refund: rimborso
replacement: sostituzione
return: reso
material: materiale
clearance: gioco
fragile: fragile
surcharge: supplemento
due: scadenza
payment: pagamento
currency: valuta divisa
tax: iva imposta
percent: aliquota tasso
country: paese origine
town: localita citta
warehouse: magazzino
remark: note nota osservazioni
centre: centro
street: indirizzo
title: titolo
voided: annullato annullata
insured: assicurato
first: primo prima
created: creato creata
promised: promesso promessa
condition: condizione condizioni
resold: rivenduto
depreciation: svalutazione deprezzamento
steps: passi istruzioni
counted: contato conteggio conta
lead: approvvigionamento
bundle: fascio
"""
