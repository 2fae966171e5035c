"""English header words. The trade words themselves are English and need no line of their own."""

WORDS = """
sale: sale sales order orders ordered
sold: sold sale sales purchased purchase bought placed selling sell
number: number no nr num id nbr key numero n identification identifier
reference: reference ref
line: line row pos position
date: date dated day when timestamp
clock: time hour
received: received receipt
channel: channel site marketplace outlet route platform shop store
item: item items product products article articles goods ware
type: type group family range
kind: kind category class
sku: sku
title: title listing
stock: stock inventory hand available
keeping: keeping
quantity: quantity qty units pieces pcs count unit
unit: unit each single piece
price: price prices
postage: shipping postage freight carriage delivery port transport
charged: charged collected
contribution: share contribution
flat: flat lump
fee: fee fees commission
customer: customer client buyer buyers purchaser
sender: sender shipper shippers consignor
destination: destination dest consignee
prefix: prefix
postal: zip postal postcode postalcode zipcode
carton: carton box cartons boxes case
size: size
code: code
from: from since valid effective
style: style fefco
inside: inside inner internal int
outside: outside outer external ext overall
length: length len l longest long
width: width wide w wid middle
height: height high hgt ht h depth d
side: side edge
thickness: thickness caliper wall board
cost: cost costs charge charges
cut: cut cuttable trimmed
minimum: minimum min least moq lowest smallest
shortest: shortest
parcel: parcel package pkg label tracking shipment airwaybill waybill consignment parcels
shipment: shipment consignment
packed: packed pack packing packaging wrapped
used: used
cushion: cushion cushioning padding protection fill filling dunnage
shipped: shipped ship shipping dispatched dispatch despatched despatch departure sent
pickup: pickup collection collected picked
carrier: carrier courier haulier forwarder carriers
company: company firm
service: service
level: level
mode: mode
zone: zone
tariff: tariff
residential: residential home private
declared: declared insured
value: value worth
method: method how
rectangular: rectangular square boxy
scale: scale gross weighed measured actual
weight: weight wt mass
tare: tare empty
overlap: overlap overlaps
telescope: telescope telescoped telescoping
packer: packer
bench: bench station
minutes: minutes mins min minute time duration
invoice: invoice bill inv statement
issue: issue issued
billed: billed invoiced rated chargeable
charge: charge charges accessorial
description: description text
amount: amount sum
net: net
total: total extension subtotal
document: document doc
claim: claim case ticket
opened: opened reported created raised
cause: cause reason why
state: state status
filed: filed submitted sent lodged
decided: decided closed resolved settled ruling
damaged: damaged broken broke damage
part: part component
evidence: evidence photo photos findings
claimed: claimed demand asked requested
granted: granted approved awarded
paid: paid payout got recovered reimbursed recovery
refund: refund refunded
replacement: replacement resend reshipped reshipment
return: return returned returns
salvage: salvage residual
material: material materials
clearance: clearance gap cushion padding margin
turns: turns orientation
fragile: fragile breakable
allowance: allowance included
surcharge: surcharge accessorial
due: due
payment: payment terms pay
currency: currency
tax: tax vat duty
percent: percent rate
country: country origin
town: town city place
warehouse: warehouse bin depot
remark: remark remarks note notes comment comments
centre: centre center
person: name contact
street: street address road
title: title titles headline
voided: void voided annulled
insured: insured insurance
first: first
created: created
promised: promised promise
latest: latest
quoted: quoted quote
typed: typed entered
condition: condition grade
resold: resold restocked relisted
depreciation: depreciation devaluation
steps: steps instructions
counted: counted count stocktake stocktaking
lead: lead supply
bundle: bundle bundles
"""
