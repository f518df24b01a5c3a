// Every tasting of a visit in full, for its print; the screen shows a list.
import { html } from '../../lib/ui.js';
import { printing } from '../../lib/printing.js';
import { visitShare } from '../../domain/share/share_data.js';
import { StepDetails } from '../../domain/tasting/tasting_details.js';
import { cachedSettings } from '../../domain/units.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @param {{ visit: import('../../store/record.js').Fields, pours: Row[], bottles: Map<string, Row> }} props */
export function VisitOnPaper({ visit, pours, bottles }) {
  if (!printing.value) return null;
  return visitShare(visit, pours, bottles, cachedSettings()).tastings.map(
    ({ title, lines, liking, words, steps }, index) => html`<section key=${pours[index]?.id} class="tasting-on-paper">
      <h2>${index + 1}. ${title}</h2>
      ${[...lines, liking].filter(Boolean).map((line) => html`<p class="soft">${line}</p>`)}
      ${words && html`<blockquote class="tasting-words">${words}</blockquote>`}
      <div class="tasting-folds">
        ${steps.map(
          (parts) => html`<section key=${parts.id} class="step-on-paper"><h3>${parts.title}</h3>
            <${StepDetails} parts=${parts} /></section>`,
        )}
      </div>
    </section>`,
  );
}
