"""First names by which a name is noticed in free text. Everyday words (Mark, Will, Rose, Grant) are left out.

Common practice, no source: names that are frequent in Europe and the Americas, from memory.
"""

from __future__ import annotations

from models.persons.words import folded

_NAMES = """
aaron abigail adam adrian agnes ahmed aisha alan albert alejandro alessandro alex alexander alexandra alfred alice
alina alison allison amanda amelia amy anders andrea andreas andrew andrzej angela anja ann anna anne annie anthony
antoine anton antonio arthur astrid audrey barbara beatrice benjamin bernard bernd beth betty birgit bjorn boris
brenda brian bridget bruce bryan camille carla carlos carmen carol caroline catherine cecilia charles chiara chloe
chris christian christina christine christopher claire clara claude claudia colin corinne craig cristina cynthia
daniel daniela danielle david deborah denise dennis derek diana diane diego dieter dmitri dominic dominik donald donna
doris dorothy douglas duncan edith eduardo edward elaine eleanor elena elisabeth elizabeth ellen emil emilia emily
emma enrique eric erik erika ernst esther eugene evelyn fabian fatima felix fernando fiona florian frances francesca
francesco francis francois frederick frederik friedrich fritz gabriel gabriele gareth gary geoffrey georg george
gerald gerard gerhard gertrud gianni giorgio giovanni giulia giuseppe gordon greg gregory gudrun guillaume gunther
gustav hanna hannah hans harold harry hassan heather heidi heike heinrich helen helena helga helmut henri henry
herbert hilda holger howard hugo ian ibrahim igor ingrid irene isaac isabel isabella ivan jacob jacqueline jacques
jakob james jana jane janet janice jason javier jean jeanne jeffrey jennifer jens jeremy jerome jessica jill joachim
joan joanna joao johan johann johannes john jonas jonathan jorge jose josef joseph joshua joyce juan judith julia
julian julie juliette jurgen justin karen karin karl karsten katarina kate katherine kathleen kathryn katja katrin
keith kelly kenneth kerstin kevin klaus kristin kristina lars laura lauren laurent lawrence leila leo leon leonard
leonardo leonie lisa lorenzo louis louise luca lucas lucia lucy luis luisa lukas lydia magdalena magnus malcolm
manfred manuel marcel marcus margaret maria marianne marie marina mario marion markus marta martha martin martina mary
mateo mathieu matteo matthew matthias maureen maurice megan melanie melissa michael michel michelle miguel mikael
miriam mohammed monica monika monique muriel nadia nadine nancy naomi natalia natalie nathalie nathan neil nicholas
nicola nicole niels nikolai nina noah nora norbert norman olaf olga oliver olivia oscar otto pablo pamela paola paolo
patricia patrick paul paula pauline pavel pedro peter petra philip philippe phillip phyllis pierre pilar rachel rafael
rainer ralf ralph raymond rebecca regina rene ricardo richard rita robert roberto robin roger roland rolf ronald rosa
rosemary roy rudolf russell ruth ryan sabine sally samantha samuel sandra sara sarah sean sebastian sergei sergio
sharon sheila shirley sibylle silke silvia simon simone sofia sonia sophia sophie stacey stanley stefan stefanie
stella stephan stephanie stephen steven stuart susan susanne suzanne sven svetlana sylvia tamara tanja tara tatiana
teresa theo theresa thierry thomas tim timothy tina tobias todd tomas trevor ulrich ulrike ursula uwe valerie vanessa
vera veronica victor viktor vincent vivian vladimir walter wendy werner wilhelm william winfried wolfgang xavier yusuf
yves yvonne zoe
"""
FIRST_NAMES = frozenset(folded(word) for word in _NAMES.split())
