"""Portuguese header words, of Portugal and of Brazil."""

WORDS = """
sale: encomenda encomendas pedido pedidos ordem encomendada
sold: venda vendas vendido vendida compra comprado
number: numero num no n identificador
reference: referencia ref
title: titulo
line: linha posicao item
date: data dia
clock: hora
received: recebido recebimento
channel: canal plataforma loja
item: artigo artigos produto produtos mercadoria item itens
type: tipo grupo familia
kind: categoria natureza classe
stock: estoque existencias
quantity: quantidade qtd qtde unidades pecas
unit: unitario unidade peca
price: preco
postage: envio portes frete transporte entrega expedicao despesas
charged: cobrado cobrados cobrada cobradas
contribution: comparticipacao parte
flat: fixo
fee: comissao taxa
customer: cliente comprador
sender: remetente expedidor
destination: destino entrega
postal: postal cep
carton: caixa caixas
size: tamanho
code: codigo cod
from: desde valido
inside: interior interno interna
outside: exterior externo externa
length: comprimento compr
width: largura larg
height: altura alt profundidade
side: lado
thickness: espessura
cost: custo custos despesas
cut: cortado corte
minimum: minimo minima
parcel: volume pacote rastreio rastreamento envio expedicao guia encomenda
shipment: envio expedicao remessa
packed: embalado embalada embalagem
used: usada utilizada
cushion: enchimento acolchoamento protecao
shipped: expedido expedicao enviado saida despacho
pickup: recolha coleta levantamento
carrier: transportadora transportador
company: empresa
service: servico modalidade
level: nivel
mode: modo modalidade
zone: zona
tariff: tarifa tarifaria
residential: residencial particular domicilio
declared: declarado
value: valor
method: metodo
rectangular: retangular
scale: bruto balanca pesado medido medida
weight: peso massa
tare: tara vazio vazia
overlap: sobreposicao
bench: posto bancada
minutes: tempo duracao minutos
invoice: fatura factura
issue: emissao emitida
billed: faturado taxavel faturavel
charge: encargo encargos cobranca
description: descricao designacao denominacao
amount: montante valor importancia
net: liquido liquida
total: total
document: documento
claim: reclamacao sinistro
opened: aberto comunicado
cause: motivo causa
state: estado situacao
filed: apresentado
decided: decidido
damaged: danificado quebrado
part: parte
evidence: prova
claimed: reclamado
granted: concedido aprovado
paid: pago pagos
refund: reembolso
replacement: substituicao
return: devolucao
material: material
clearance: folga
fragile: fragil
surcharge: sobretaxa suplemento
due: vencimento
payment: pagamento
currency: moeda divisa
tax: iva imposto
percent: taxa percentagem
country: pais origem
town: localidade cidade
warehouse: armazem
remark: observacoes observacao nota notas
centre: centro
street: morada endereco rua
title: titulo
voided: anulado anulada
insured: segurado
first: primeiro primeira
created: criado criada
promised: prometido prometida
condition: condicao
resold: revendido
depreciation: depreciacao desvalorizacao
steps: passos instrucoes
counted: contado contagem
lead: prazo
bundle: fardo
"""
