"""French header words."""

WORDS = """
sale: commande commandes commandee commandees
sold: vente ventes vendu vendue vendus vendues achat achete passee
number: numero num no n identifiant
reference: reference ref refs
title: titre
line: ligne poste
date: date jour
clock: heure
received: recue recu reception
channel: canal plateforme boutique
item: article articles produit produits marchandise marchandises
type: type famille groupe sorte
kind: categorie genre nature classe
stock: stock
quantity: quantite qte unites pieces nombre nb
unit: unitaire unite piece pu
price: prix pu
postage: port livraison transport expedition affranchissement envoi fret
charged: facture factures facturee facturees percus
contribution: participation quote
flat: forfait forfaitaire
fee: commission frais
customer: client acheteur clients
sender: expediteur chargeur
destination: destination livraison
postal: postal cp
carton: carton boite caisse cartons
size: taille format
code: code
from: depuis valable
inside: interieur interieure interieurs int
outside: exterieur exterieure ext hors tout
length: longueur long
width: largeur larg
height: hauteur haut profondeur
side: cote
thickness: epaisseur
cost: cout frais couts
cut: coupe decoupe
minimum: minimum
parcel: colis paquet suivi expedition envoi voiture
shipment: expedition envoi
packed: emballe emballee emballees emballes emballage conditionnement
used: utilise utilisee
cushion: calage rembourrage protection bourrage
shipped: expedie expedition expediee envoye depart
pickup: enlevement ramassage
carrier: transporteur messagerie
company: entreprise societe
service: service prestation
level: niveau
mode: mode
tariff: tarifaire tarif
residential: residentiel domicile particulier
declared: declaree declare
value: valeur
method: methode
rectangular: rectangulaire
scale: brut brute pesee pese mesure balance mesuree
weight: poids masse
tare: tare vide
overlap: recouvrement chevauchement
bench: poste table
minutes: duree temps minutes
invoice: facture
issue: emission emise emis
billed: facture facturee taxable taxe
charge: frais prestation
description: libelle designation description intitule
amount: montant
net: net nette ht
total: total sous
document: document bon piece
claim: reclamation litige sinistre
opened: ouvert signale ouverte
cause: motif cause
state: statut etat
filed: depose deposee
decided: decide decidee
damaged: endommage endommagee casse
part: partie
evidence: preuve constat
claimed: reclame demande
granted: accorde accordee alloue
paid: paye payee regle verse
refund: remboursement rembourse
replacement: remplacement
return: retour
material: materiel materiaux
clearance: jeu
fragile: fragile
surcharge: supplement surtaxe
due: echeance
payment: reglement paiement
currency: devise monnaie
tax: tva taxes ttc
percent: taux
country: pays origine
town: ville localite
warehouse: depot entrepot
remark: observations observation remarque remarques commentaire
centre: centre
street: adresse rue
title: titre
voided: annule annulee
insured: assure assuree
first: premier premiere
created: cree creee creation
promised: promis promise
condition: condition
resold: revendu
depreciation: depreciation decote
steps: etapes instructions
counted: compte comptage
lead: delai
bundle: lot
"""
