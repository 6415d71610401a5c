"""On site without a signal: the meter page, visited once, opens and compares readings in every engine."""

from benches.engines import until

ENTER = """
  for (const [path, text] of Object.entries({texts})) {{
    const field = document.querySelector(`#report-form [name="${{path}}"]`);
    field.value = text;
    field.dispatchEvent(new Event("input", {{ bubbles: true }}));
    field.dispatchEvent(new Event("change", {{ bubbles: true }}));
  }}
  return true;
"""
OUTCOME = "return document.querySelector('#report-state .v-word').textContent === '{word}'"
PLACE = "return document.querySelector('#report-title').textContent.startsWith('Stock-water pump')"
REVERSED = '{"sun": "820", "air": "68", "string.1.voc": "64.2", "string.2.voc": "-63"}'
RIGHT = '{"string.2.voc": "63"}'


def test_meter_check_without_a_network(everywhere, host):
    """A reversed string is told with nobody to ask, and once it reads the right way round the readings fit."""
    engine = everywhere.engine
    everywhere.start()
    everywhere.verdict()
    everywhere.kept()
    engine.open(f"{host.address}meter/#from=stock-water-pump")
    until(engine, PLACE, 120)
    host.off()
    engine.open("about:blank")

    engine.open(f"{host.address}meter/#from=stock-water-pump")
    until(engine, PLACE, 120)
    engine.run(ENTER.format(texts=REVERSED))
    until(engine, OUTCOME.format(word="Stop first"))
    engine.run(ENTER.format(texts=RIGHT))
    until(engine, OUTCOME.format(word="Fits"))
    host.on()
