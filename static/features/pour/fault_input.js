// Faults of the wine with their strength, and whether the palate learns from this bottle all the same.
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Row } from '../../components/layout/row.js';
import { cycleGrade, parseEntry } from '../../domain/aroma/entry.js';
import { GradeMark } from '../../domain/aroma/chips.js';
import { errorText, FieldSlot, Toggle } from '../../domain/pour/fields.js';
import { Disclosure } from '../../components/layout/disclosure.js';
import { setFields, values } from '../../domain/pour/current_pour.js';

export function FaultInput() {
  const entries = /** @type {string[]} */ (values.tasting.value['faults'] ?? []);
  const error = errorText('tasting', 'faults');
  return html`<${FieldSlot} side="tasting" field="faults">
    <${Disclosure} label=${t('pour.faults')} initiallyOpen=${entries.length > 0}>
      <p class="field-note">${t('pour.faults_note')}</p>
      <ul class="ruled faults">${vocabularies.vocabularies.fault.map(
        (fault) => html`<li key=${fault}><${Fault} fault=${fault} entries=${entries} /></li>`,
      )}</ul>
      ${error && html`<p class="field-error">${error}</p>`}
      ${entries.length > 0 && html`<${Toggle} field="fault_counts" note=${t('pour.fault_counts_note')} />`}
    <//>
  <//>`;
}

/** @param {{ fault: string, entries: string[] }} props a further tap makes it stronger, the last one takes it away */
function Fault({ fault, entries }) {
  const entry = entries.map(parseEntry).find((each) => each.aroma === fault);
  const tap = () => {
    const faults = cycleGrade(values.tasting.peek()['faults'], fault);
    setFields('tasting', faults ? { faults } : { faults, fault_counts: null });
  };
  return html`<${Row} className="fault" aria-pressed=${Boolean(entry)} onClick=${tap}
      name=${t(`fault.${fault}`)} line=${t(`fault_sign.${fault}`)}>
    <${GradeMark} strength=${entry?.strength ?? null} />
    ${entry && html`<span aria-hidden="true">${'\u2713'}</span>`}
  <//>`;
}
