"""Spanish header words."""

WORDS = """
sale: pedido pedidos orden pedida pedidas
sold: venta ventas vendido vendida vendidos compra comprado
number: numero num no n identificador
reference: referencia ref
title: titulo
line: linea posicion renglon partida
date: fecha dia
clock: hora
received: recepcion recibido
channel: canal plataforma tienda
item: articulo articulos producto productos mercancia mercancias
type: tipo grupo familia
kind: categoria clase
stock: existencias inventario
quantity: cantidad cant unidades piezas
unit: unitario unidad pieza
price: precio
postage: envio portes porte flete transporte entrega gastos
charged: cobrado cobrados cobrada cobradas cargado cargo
contribution: participacion parte
flat: fijo plana
fee: comision
customer: cliente comprador
sender: remitente expedidor
destination: destino entrega
postal: postal cp
carton: caja cajas
size: tamano medida
code: codigo cod
from: desde valido
inside: interior interno interna
outside: exterior externo externa
length: longitud largo
width: anchura ancho
height: altura alto fondo profundidad
side: lado
thickness: espesor grosor
cost: coste costo costes gastos
cut: cortado corte
minimum: minimo minima
parcel: paquete bulto seguimiento envio expedicion
shipment: envio expedicion
packed: embalado embalada embalaje empaquetado
used: usada utilizada
cushion: relleno acolchado proteccion amortiguacion
shipped: enviado expedido expedicion salida despacho envio
pickup: recogida retirada
carrier: transportista porteador mensajeria
company: empresa compania
service: servicio modalidad
level: nivel
mode: modo modalidad
zone: zona
tariff: tarifa tarifaria
residential: residencial particular domicilio
declared: declarado
value: valor
method: metodo
rectangular: rectangular
scale: bruto bascula pesado balanza medido
weight: peso masa
tare: tara vacio vacia
overlap: solape solapamiento
bench: puesto mesa
minutes: tiempo duracion minutos
invoice: factura
issue: emision emitida
billed: facturado tasable facturable tarifable
charge: concepto cargo cargos
description: denominacion descripcion
amount: importe monto
net: neto neta
total: total
document: documento albaran
claim: reclamacion siniestro
opened: abierto comunicado
cause: motivo causa
state: estado situacion
filed: presentado
decided: resuelto
damaged: danado roto averia
part: parte pieza
evidence: prueba
claimed: reclamado
granted: concedido aprobado
paid: pagado pagados
refund: reembolso
replacement: reemplazo
return: devolucion
material: material
clearance: holgura
fragile: fragil
surcharge: recargo suplemento
due: vencimiento
payment: pago
currency: moneda divisa
tax: iva impuesto
percent: tasa porcentaje
country: pais origen
town: localidad ciudad poblacion
warehouse: almacen
remark: observaciones observacion nota notas
centre: centro
street: domicilio direccion calle
title: titulo
voided: anulado anulada
insured: asegurado
first: primer primera
created: creado creada
promised: prometido prometida
condition: condicion
resold: revendido
depreciation: depreciacion
steps: pasos instrucciones
counted: contado recuento
lead: plazo
bundle: fardo
"""
