"""How forms and pages look: one small style sheet, on JupyterLab's own colours so that it follows its theme.

What carries a meaning (a verdict's word, a message at a field) brings its own ground and ink, which were chosen
together for contrast and are the same in a light and in a dark theme.
"""

from __future__ import annotations

from rotorkit.pictures.paper import COLOURS

STEPS = (480, 560, 660, 740, 810, 910, 1120, 9999)
"""Pixels that a table may need: in less than its step each row folds into lines of cells. Some are the width of a
form's rows in a window of 1366 or 1024, with the list of files open or not, so that what fits there does not fold."""
CELL = 140
"""Pixels of a cell in a folded row at the least; what needs more has the room of two."""

VERDICT_CLASS = {word: word.replace(" ", "-") for word in COLOURS}
"""The style's name for each verdict."""

_VERDICTS = "\n".join(
    f".rotorkit-word.{VERDICT_CLASS[word]} {{background: {colour}; color: #ffffff}}\n"
    f".rotorkit-head.{VERDICT_CLASS[word]} {{border-left-color: {colour}}}"
    for word, colour in COLOURS.items()
)


def _folded(step: int) -> str:
    """The rows of tables that need as much room, in pixels, in lines of as many cells as there is room for, each
    under its name."""
    table = f".rotorkit-form .folds-{step} .rotorkit-row"
    return f"""@container rotorkit-rows (max-width: {step - 1}px) {{
  {table} {{grid-template-columns: 30px repeat(auto-fit, minmax({CELL}px, 1fr)) 30px !important;
    border-bottom: 1px solid var(--jp-border-color2, #bdbdbd)}}
  {table} > * {{grid-area: auto !important; padding-bottom: 4px}}
  {table} > .rotorkit-broad {{grid-area: auto / span 2 !important}}
  {table} .rotorkit-whole {{display: block}}
  {table} > .rotorkit-long {{grid-area: auto / 2 / auto / -2 !important}}
  {table} > :first-child {{grid-area: 1 / 1 / span 8 / 2 !important; align-self: start}}
  {table} > :last-child {{grid-area: 1 / -2 / span 8 / -1 !important}}
  {table} :is(.widget-text, .widget-dropdown) {{flex-direction: column; align-items: stretch}}
  {table} .widget-label {{position: static; width: auto !important; height: auto;
    clip-path: none; white-space: normal; text-align: left; font-size: 12px; line-height: 1.2}}
  {table} :is(input, select) {{flex: 0 0 28px}}
}}
"""


def _tall(form: str) -> str:
    """Many fields with the picture beside them, and under both the tables in the whole width. form: a selector."""
    return f"""
  .rotorkit-form .rotorkit-first{form} {{grid-template-columns: minmax(440px, 1fr) 410px}}
  .rotorkit-form {form} .rotorkit-fields {{display: block; grid-column: 1; grid-row: 1}}
  .rotorkit-form {form} > .rotorkit-typed, {form} > .rotorkit-outcome,
    {form} > .rotorkit-outcome > .widget-html-content, {form} .rotorkit,
    {form} .rotorkit-pictures {{display: contents !important}}
  .rotorkit-form {form} .rotorkit-tables {{grid-column: 1 / -1; grid-row: 2}}
  {form} .rotorkit-pictures > :first-child {{grid-column: 2; grid-row: 1; margin-top: 4px}}
  {form} .rotorkit-pictures > * {{margin-bottom: 12px}}
"""


STYLE = f"""<style>
.rotorkit {{color: var(--jp-content-font-color1, #1a1a1a); font-family: var(--jp-content-font-family, sans-serif);
  font-size: 14px; line-height: 1.4; max-width: 1000px}}
.rotorkit p {{margin: 2px 0}}
.rotorkit table {{border-collapse: collapse; margin: 6px 0; font-size: 13.5px}}
.rotorkit caption {{text-align: left; font-weight: 600; padding: 4px 0}}
.rotorkit th, .rotorkit td {{text-align: left !important; padding: 4px 12px 4px 0 !important;
  vertical-align: top !important;
  border-bottom: 1px solid var(--jp-border-color2, #bdbdbd) !important; max-width: none}}
.rotorkit tr {{background: transparent !important}}
.rotorkit h2, .rotorkit h3 {{font-size: 16px; font-weight: 600; margin: 14px 0 4px}}
.rotorkit td.number, .rotorkit span.rotorkit-figure {{white-space: nowrap}}
.rotorkit tr.more td {{padding-top: 0 !important; font-size: 13px}}
.rotorkit tr.led td, .rotorkit tr.led th {{border-bottom: none !important}}
.rotorkit th[scope=row] {{font-weight: 600}}
.rotorkit-word {{display: inline-block; padding: 1px 8px; border-radius: 3px; font-weight: 600; white-space: nowrap}}
.rotorkit-word svg {{max-width: none !important}}
.rotorkit-head {{border-left: 8px solid; padding: 6px 0 6px 12px; margin: 4px 0}}
.rotorkit-head .rotorkit-word {{font-size: 17px; padding: 2px 10px}}
.rotorkit-head p {{font-size: 15px; margin: 5px 0}}
{_VERDICTS}
.rotorkit-note {{border-left: 4px solid #7a4b00; background: #fff4dc; color: #4a2e00; padding: 3px 8px;
  margin: 3px 0}}
.rotorkit-wrong {{border-left: 4px solid #9c1c12; background: #fdecea; color: #6b120b; padding: 3px 8px;
  margin: 3px 0}}
.rotorkit-note a, .rotorkit-wrong a, .rotorkit-done a {{color: inherit; text-decoration: underline}}
.rotorkit-home a {{color: var(--jp-content-link-color, #0b4f8a); text-decoration: underline}}
.rotorkit-home th .rotorkit-hint {{font-weight: 400}}
.rotorkit ul, .rotorkit ol {{margin: 4px 0; padding-left: 22px}}
.rotorkit li {{margin: 3px 0}}
.rotorkit-pictures {{display: flex; flex-wrap: wrap; gap: 12px; align-items: flex-start; margin: 8px 0}}
.rotorkit-old {{position: relative}}
.rotorkit-old svg {{opacity: 0.25}}
.rotorkit-old p {{position: absolute; top: 45%; left: 12px; right: 12px; margin: 0; text-align: center;
  font-weight: 600}}
.rotorkit-pictures svg, .rotorkit-figure svg {{border-radius: 4px;
  border: 1px solid var(--jp-border-color2, #bdbdbd)}}
.rotorkit-right {{border-left: 4px solid #1f6b2a; background: #eaf6ec; color: #123f19; padding: 3px 8px; margin: 3px 0}}
.rotorkit-shows .rotorkit-figure svg {{max-width: 560px !important}}
.rotorkit-question {{border-top: 1px solid var(--jp-border-color2, #bdbdbd); padding: 6px 0; overflow: visible}}
.rotorkit-form .rotorkit-answer {{display: flex; flex-wrap: wrap; align-items: center; gap: 8px; overflow: visible}}
.rotorkit-form .rotorkit-answer .widget-text {{width: min(520px, 100%); height: auto}}
.rotorkit-form .rotorkit-answer .jupyter-button {{min-height: 32px; width: auto}}
.rotorkit summary {{cursor: pointer}}
.rotorkit-hint {{color: var(--jp-content-font-color2, #4d4d4d); font-size: 12.5px}}

.rotorkit-form, .rotorkit-form .widget-html-content, .rotorkit-form .jupyter-widgets {{font-size: 14px;
  line-height: 1.4;
  color: var(--jp-content-font-color1, #1a1a1a)}}
.rotorkit-form {{max-width: 1240px; overflow: visible; container: rotorkit / inline-size}}
.rotorkit-form .widget-html, .rotorkit-form .widget-htmlmath {{height: auto; margin: 0}}
.rotorkit-form .widget-html-content {{height: auto; white-space: normal; overflow: visible}}
.rotorkit-fields {{border-top: 1px solid var(--jp-border-color2, #bdbdbd); overflow: visible}}
.rotorkit-form .rotorkit-line {{display: grid; grid-template-columns: 286px 58px minmax(200px, 1fr); column-gap: 8px;
  align-items: start; padding: 6px 0; border-bottom: 1px solid var(--jp-border-color2, #bdbdbd); overflow: visible;
  height: auto; width: 100%}}
.rotorkit-form .rotorkit-line.with-chooser {{grid-template-columns: 286px 42px 186px minmax(180px, 1fr)}}
.rotorkit-form .rotorkit-line.choice {{grid-template-columns: minmax(300px, 530px) minmax(180px, 1fr)}}
.rotorkit-form .rotorkit-line.whole {{grid-template-columns: 376px 58px minmax(200px, 1fr)}}
.rotorkit-form .rotorkit-line.whole.choice {{grid-template-columns: minmax(376px, 560px) minmax(180px, 1fr)}}
.rotorkit-form .rotorkit-line.with-slider {{grid-template-columns: 330px 62px minmax(130px, 1fr) minmax(160px, 230px)}}
.rotorkit-form .rotorkit-line.with-slider > .widget-text {{grid-template-columns: 180px 1fr}}
.rotorkit-form .noUi-handle {{border: 2px solid var(--jp-ui-font-color1, #1a1a1a) !important;
  background: var(--jp-layout-color1, #fff) !important}}
.rotorkit-form .noUi-handle:focus {{outline: 3px solid #2f7fc4 !important; outline-offset: 1px}}
.rotorkit-form .noUi-target {{background: var(--jp-ui-font-color2, #767676) !important}}
.rotorkit-form .rotorkit-limit {{display: grid; grid-template-columns: minmax(180px, 300px) 124px 124px 52px
  minmax(130px, 1fr); column-gap: 8px; align-items: start; padding: 4px 0; height: auto; width: 100%;
  border-bottom: 1px solid var(--jp-border-color2, #bdbdbd); overflow: visible}}
.rotorkit-limit .jupyter-widgets {{margin: 0}}
.rotorkit-limit .widget-vbox {{overflow: visible}}
.rotorkit-form .rotorkit-limit .widget-text {{width: 100%; height: auto}}
.rotorkit-form .rotorkit-limit.head {{font-weight: 600; font-size: 13px; align-items: end; margin-top: 8px}}
.rotorkit-limit p {{margin: 0}}
.rotorkit-line .jupyter-widgets {{margin-top: 0; margin-bottom: 0; margin-left: 0; margin-right: 0}}
.rotorkit-form .rotorkit-line > .widget-text, .rotorkit-form .rotorkit-line > .widget-dropdown {{width: 100%;
  height: auto;
  display: grid; grid-template-columns: 126px 1fr; column-gap: 4px; align-items: start}}
.rotorkit-form .rotorkit-line.whole > :is(.widget-text, .widget-dropdown) {{grid-template-columns: 216px 1fr}}
.rotorkit-line .widget-label, .rotorkit-hand .widget-label {{width: auto; height: auto; text-align: left;
  white-space: normal; overflow: visible; line-height: 1.3; padding-top: 4px; font-weight: 600; font-size: 13.5px;
  color: var(--jp-content-font-color1, #1a1a1a)}}
.rotorkit-form input, .rotorkit-form select {{width: 100% !important; height: 30px !important;
  font-size: 14px !important;
  color: var(--jp-content-font-color1, #1a1a1a) !important;
  background-color: var(--jp-layout-color1, #fff) !important;
  border: 1px solid var(--jp-ui-font-color2, #767676) !important; border-radius: 3px}}
.rotorkit-form select {{appearance: auto !important; background-image: none !important; padding-right: 22px;
  text-overflow: ellipsis}}
.rotorkit-form input:disabled {{background-color: var(--jp-layout-color2, #eee) !important; cursor: not-allowed;
  opacity: 1 !important}}
.rotorkit-form input:focus, .rotorkit-form select:focus,
  .rotorkit-form button:focus {{outline: 3px solid #2f7fc4 !important;
  outline-offset: 0}}
.rotorkit-form button {{color: var(--jp-content-font-color1, #1a1a1a); background: var(--jp-layout-color2, #eee);
  border: 1px solid var(--jp-ui-font-color2, #767676); border-radius: 3px; width: auto; font-size: 13px;
  padding: 0 10px}}
.rotorkit-form button.rotorkit-choose {{font-size: 0}}
.rotorkit-form button.rotorkit-choose::after {{content: "Choose photographs to attach" / ""; font-size: 13px}}
.rotorkit-unit {{display: block; padding-top: 4px}}
.rotorkit-by {{overflow: visible}}
.rotorkit-form .rotorkit-by > .widget-dropdown {{width: 100%; height: auto; flex-direction: column;
  align-items: stretch}}
.rotorkit-form .rotorkit-by select {{flex: 0 0 30px; padding: 0 22px 0 6px}}
.rotorkit-form :is(input, select, button) {{scroll-margin: var(--rotorkit-head, 210px) 0 60px}}
@media (max-height: 520px) {{.rotorkit-form :is(input, select, button) {{scroll-margin-bottom: 2px}}}}
.rotorkit-form .rotorkit-by .widget-label {{font-size: 12px; font-weight: 400; padding: 0; line-height: 1.2;
  width: auto}}
@container rotorkit (max-width: 720px) {{
  .rotorkit-form .rotorkit-line, .rotorkit-form .rotorkit-line.with-chooser, .rotorkit-form .rotorkit-line.choice,
    .rotorkit-form .rotorkit-line.with-slider, .rotorkit-form .rotorkit-line.whole,
    .rotorkit-form .rotorkit-line.whole.choice {{grid-template-columns: minmax(220px, 1fr) 62px}}
  .rotorkit-form .rotorkit-limit {{grid-template-columns: 1fr 1fr 52px}}
  .rotorkit-form .rotorkit-limit > :is(:first-child, :last-child) {{grid-column: 1 / 4}}
  .rotorkit-form .rotorkit-line > .rotorkit-echo, .rotorkit-form .rotorkit-line > .rotorkit-by {{grid-column: 1 / 3}}
}}
.rotorkit-whole {{display: none}}
.rotorkit-table {{overflow-x: auto; padding: 4px 0; container: rotorkit-rows / inline-size}}
.rotorkit-form .rotorkit-row {{display: grid; column-gap: 8px; align-items: start; height: auto; overflow: visible;
  padding: 3px 0}}
.rotorkit-row .jupyter-widgets {{margin: 0}}
.rotorkit-row .widget-vbox {{overflow: visible}}
.rotorkit-row .widget-text, .rotorkit-row .widget-dropdown {{width: 100%; height: auto}}
.rotorkit-form .rotorkit-row input {{font-size: 13px !important; padding: 0 5px !important}}
.rotorkit-form .rotorkit-row select {{font-size: 13px !important; padding-left: 3px}}
.rotorkit-row .widget-label, .rotorkit-limit .widget-label, .rotorkit-pick .widget-label.unseen,
  .rotorkit-unseen {{position: absolute;
  width: 1px !important;
  height: 1px;
  overflow: hidden; clip-path: inset(50%); white-space: nowrap}}
.rotorkit-form .rotorkit-row button {{width: 100%; padding: 0; margin: 1px 0; font-size: 0; line-height: 26px}}
.rotorkit-form .rotorkit-row button {{background: url("data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' \
width='12' height='12'%3E%3Cpath d='M2 2L10 10M10 2L2 10' stroke='%23767676' stroke-width='2'/%3E%3C/svg%3E") \
no-repeat center}}
.rotorkit-form .rotorkit-row button.up {{background-image: url("data:image/svg+xml,%3Csvg \
xmlns='http://www.w3.org/2000/svg' width='12' height='12'%3E%3Cpath d='M2 8L6 3L10 8' fill='none' stroke='%23767676' \
stroke-width='2'/%3E%3C/svg%3E")}}
.rotorkit-form .rotorkit-row button.down {{background-image: url("data:image/svg+xml,%3Csvg \
xmlns='http://www.w3.org/2000/svg' width='12' height='12'%3E%3Cpath d='M2 4L6 9L10 4' fill='none' stroke='%23767676' \
stroke-width='2'/%3E%3C/svg%3E")}}
.rotorkit-row .rotorkit-moves {{display: flex; flex-wrap: wrap; gap: 4px; overflow: visible}}
.rotorkit-form .rotorkit-moves button {{flex: 0 0 30px; width: 30px}}
.rotorkit-row.head {{font-weight: 600; font-size: 13px; align-items: end;
  border-bottom: 1px solid var(--jp-border-color1, #bdbdbd)}}
{"".join(map(_folded, STEPS))}@container rotorkit (max-width: 960px) {{
  .rotorkit-form .rotorkit-row {{column-gap: 5px}}
  .rotorkit-form .rotorkit-row input {{font-size: 12px !important; padding: 0 3px !important}}
}}
.rotorkit-form .rotorkit-by-file {{padding: 4px 0; overflow: visible;
  border-bottom: 1px solid var(--jp-border-color2, #bdbdbd)}}
.rotorkit-by-file p {{font-size: 13px; margin: 2px 0; overflow-wrap: anywhere}}
.rotorkit-form .rotorkit-by-file > button {{height: 26px; line-height: 24px; margin: 2px 0}}
.rotorkit-number {{padding-top: 5px}}
.rotorkit-echo p {{font-size: 12.5px; line-height: 1.35; margin: 1px 0; overflow-wrap: anywhere}}
.rotorkit-pick {{margin: 4px 0; overflow: visible}}
.rotorkit-pick .widget-dropdown {{width: 100%; max-width: 640px; height: auto; margin: 0}}
.rotorkit-pick .widget-label {{width: auto; text-align: left; font-weight: 600; font-size: 13.5px; margin-right: 8px;
  color: var(--jp-content-font-color1, #1a1a1a)}}
.rotorkit-form .rotorkit-hand {{display: grid; grid-template-columns: 400px 60px minmax(180px, 1fr);
  column-gap: 8px; align-items: start;
  padding: 5px 0; border-bottom: 1px solid var(--jp-border-color2, #bdbdbd); height: auto; overflow: visible}}
.rotorkit-hand .jupyter-widgets {{margin: 0}}
.rotorkit-form .rotorkit-hand > .widget-text {{width: 400px; height: auto; display: grid;
  grid-template-columns: 220px 176px;
  column-gap: 4px; align-items: start}}
.rotorkit-form .rotorkit-keep.widget-text, .rotorkit-form .rotorkit-keep.widget-textarea,
  .rotorkit-form .rotorkit-keep.widget-dropdown {{width: 100%; max-width: 700px; height: auto; display: grid;
  grid-template-columns: 180px 1fr; column-gap: 8px; align-items: start; margin: 3px 0}}
.rotorkit-keep .widget-label {{width: auto; height: auto; text-align: left; white-space: normal; font-weight: 600;
  font-size: 13.5px; line-height: 1.3; padding-top: 4px; color: var(--jp-content-font-color1, #1a1a1a)}}
.rotorkit-form textarea {{width: 100% !important; font-size: 14px !important; font-family: inherit; line-height: 1.35;
  color: var(--jp-content-font-color1, #1a1a1a) !important;
  background-color: var(--jp-layout-color1, #fff) !important;
  border: 1px solid var(--jp-ui-font-color2, #767676) !important; border-radius: 3px}}
.rotorkit-form textarea:focus {{outline: 3px solid #2f7fc4 !important; outline-offset: 0}}
.rotorkit-form .widget-vbox > button, .rotorkit-form.widget-vbox > button {{align-self: flex-start; margin: 6px 2px}}
.rotorkit-done {{border-left: 4px solid #0b4f8a; background: #e8f1f9; color: #08365f; padding: 3px 8px; margin: 3px 0}}
.jp-WindowedPanel-viewport *:has(.rotorkit-banner) {{overflow: visible !important; contain: none !important}}
.rotorkit-form .rotorkit-banner {{position: sticky; top: 0; z-index: 3; overflow: visible; padding: 2px 0 4px;
  background: var(--jp-layout-color0, #fff); border-bottom: 1px solid var(--jp-border-color1, #bdbdbd)}}
.rotorkit-banner .jupyter-widgets {{margin-top: 0; margin-bottom: 0}}
.rotorkit-banner .rotorkit-head {{padding: 2px 0 2px 10px; margin: 2px 0}}
.rotorkit-banner .rotorkit-head p {{font-size: 14px; line-height: 1.35; margin: 1px 0}}
.rotorkit-banner .rotorkit-head p.rotorkit-leads {{font-size: 12.5px}}
.rotorkit-answer {{overflow: visible; min-height: 30px; align-items: stretch}}
.rotorkit-form .rotorkit-answer > .widget-html {{width: 100%; align-self: stretch}}
.rotorkit-form .rotorkit-saving, .rotorkit-form .rotorkit-bar {{width: auto !important}}
.rotorkit-form .rotorkit-keeping > .widget-html {{flex: 1 1 260px; min-width: 240px}}
.rotorkit-form .rotorkit-saving, .rotorkit-form .rotorkit-bar, .rotorkit-form .rotorkit-keeping,
  .rotorkit-form .rotorkit-openings {{display: flex; flex-flow: row wrap; align-items: center; gap: 2px 10px;
  overflow: visible; height: auto; width: 100%}}
.rotorkit-form .rotorkit-bar .rotorkit-keep.widget-text {{width: auto; max-width: 380px; margin: 2px 0;
  grid-template-columns: auto minmax(120px, 190px)}}
.rotorkit-form .rotorkit-openings {{gap: 2px 3px}}
.rotorkit-form .rotorkit-openings button {{margin: 1px 0; height: 26px; line-height: 24px; padding: 0 3px;
  font-size: 12px}}
@container rotorkit (max-width: 1004px) {{
  .rotorkit-form .rotorkit-openings {{gap: 2px}}
  .rotorkit-form .rotorkit-openings button {{font-size: 11px; padding: 0 2px}}
}}
.rotorkit-kept {{font-size: 12.5px}}
.rotorkit-panel, .rotorkit-opened {{overflow: visible}}
.rotorkit-form .rotorkit-opened > button {{scroll-margin-top: 190px; margin: 4px 2px 0; height: 26px; line-height: 24px;
  font-size: 12.5px}}
.jp-WindowedPanel-outer:has(.rotorkit-opened > button:focus) {{overflow-anchor: none}}
.rotorkit-form .rotorkit-bar input, .rotorkit-form .rotorkit-keeping button {{height: 28px !important; margin: 0}}
.rotorkit-form .rotorkit-first .rotorkit-line, .rotorkit-form .rotorkit-first .rotorkit-line.with-chooser {{
  grid-template-columns: minmax(205px, clamp(236px, 55%, 272px)) 58px minmax(100px, 1fr); padding: 3px 0;
  position: relative}}
.rotorkit-form .rotorkit-first .rotorkit-line.with-chooser {{
  grid-template-columns: minmax(205px, 232px) 48px minmax(120px, 1fr)}}
.rotorkit-form .rotorkit-first .rotorkit-line.repeats:not(.with-chooser) {{
  grid-template-columns: minmax(205px, 340px) 58px}}
.rotorkit-form .rotorkit-first .rotorkit-line.repeats > .rotorkit-echo {{grid-column: 1 / -1; padding-left: 116px}}
.rotorkit-form .rotorkit-first .rotorkit-fields .rotorkit-line.long {{grid-template-columns: minmax(205px, 400px) 58px}}
.rotorkit-first .rotorkit-line.long > :is(.rotorkit-echo, .rotorkit-by) {{grid-column: 1 / -1; padding-left: 116px}}
.rotorkit-form .rotorkit-first .rotorkit-line.choice {{grid-template-columns: minmax(260px, 1fr) minmax(0, auto)}}
.rotorkit-form .rotorkit-first .rotorkit-line > .widget-text,
  .rotorkit-form .rotorkit-first .rotorkit-line > .widget-dropdown {{grid-template-columns: 112px minmax(0, 1fr)}}
.rotorkit-form .rotorkit-first .rotorkit-line.with-chooser > .rotorkit-echo {{grid-column: 1 / -1; padding-left: 116px}}
.rotorkit-first input, .rotorkit-form .rotorkit-first select {{height: 28px !important; min-width: 0}}
.rotorkit-form .rotorkit-first input {{font-size: 13px !important; padding: 0 5px !important}}
.rotorkit-form .rotorkit-first .rotorkit-by select {{flex: 0 0 28px}}
.rotorkit-first .widget-label {{font-size: 13px; line-height: 1.15}}
.rotorkit-form .rotorkit-first .rotorkit-by .widget-label {{position: absolute; width: 1px; height: 1px;
  overflow: hidden; clip-path: inset(50%)}}
.rotorkit-first .rotorkit-hint {{position: absolute; display: none; z-index: 2; left: 0; width: max-content;
  max-width: min(420px, 100%); box-sizing: border-box;
  padding: 2px 8px; pointer-events: none; background: var(--jp-layout-color1, #fff);
  border: 1px solid var(--jp-border-color1, #bdbdbd)}}
.rotorkit-first :is(.with-chooser, .repeats, .long) .rotorkit-hint {{left: 116px; max-width: calc(100% - 116px)}}
.rotorkit-first .rotorkit-line:focus-within .rotorkit-hint {{display: block}}
.rotorkit-first .rotorkit-pictures {{margin-top: 4px}}
.rotorkit-offers {{overflow: visible}}
.rotorkit-form .rotorkit-offer {{display: flex; align-items: baseline; gap: 8px; padding: 1px 0; height: auto;
  width: 100%; overflow: visible}}
.rotorkit-offer p {{margin: 2px 0; font-size: 13px; line-height: 1.35}}
.rotorkit-form .rotorkit-offer button {{flex: none; margin: 0; height: 26px; line-height: 24px}}
.rotorkit-typed, .rotorkit-tables {{overflow: visible; min-width: 0}}
.rotorkit-form .rotorkit-first {{display: grid; grid-template-columns: minmax(440px, 1fr) minmax(300px, 430px);
  column-gap: 16px; align-items: start; overflow: visible; height: auto; width: 100%}}
.rotorkit-form .rotorkit-first.wide {{grid-template-columns: minmax(0, 1fr)}}
@container rotorkit (min-width: 1090px) {{
  .rotorkit-form .rotorkit-first.wide {{grid-template-columns: minmax(0, 1fr) 410px}}
}}
@container rotorkit (min-width: 880px) and (max-width: 1089px) {{
  .rotorkit-form .rotorkit-first.wide:not(.tall) {{grid-template-columns: minmax(0, 1fr) 330px}}{_tall(".tall")}}}
@container rotorkit (min-width: 1090px) {{{_tall(".tall.broad")}}}
@container rotorkit (max-width: 880px) {{
  .rotorkit-form .rotorkit-first {{grid-template-columns: minmax(0, 1fr)}}
}}
.rotorkit-typing .rotorkit-outcome {{visibility: hidden}}
.rotorkit-form.rotorkit-typing > .rotorkit-state {{height: 0 !important; overflow: visible}}
.rotorkit-photographs {{display: flex; flex-wrap: wrap; gap: 10px}}
.rotorkit-photographs figure {{margin: 0; max-width: 260px}}
.rotorkit-photographs img {{display: block; max-width: 100%; height: auto;
  border: 1px solid var(--jp-border-color2, #bdbdbd)}}
.rotorkit-photographs figcaption {{font-size: 12.5px; overflow-wrap: anywhere}}
.rotorkit-math {{overflow-x: auto; padding: 2px 0 2px 8px}}
</style>"""
