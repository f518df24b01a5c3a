// Details of one pick: label rule with date and source, reasons of the prediction, earlier
// tastings.
import { html } from '../../../lib/ui.js';
import { date } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import rules from '../../../spec/label_rules.json' with { type: 'json' };
import { Sheet } from '../../../components/layout/sheet.js';
import { bottleName, resolveBottle, labelAbv } from '../../../domain/bottle_names.js';
import { FactList } from '../../../components/layout/fact_list.js';
import { Prices } from '../../../domain/prices.js';
import { localDateTime } from '../../../lib/datetime.js';
import { rangeText, ruleText } from '../../../domain/label_range_text.js';
import { TastingRow } from '../../../domain/tasting_row.js';
import { axis, tickValues } from '../list/abv_axis.js';
import { likelihoodText, expectedText, likedOfTen, reasonsText, surenessText } from '../list/prediction_text.js';
import { reopenPick, markBought, markSkipped, removePick } from '../list/pick_actions.js';
import { CompanyDetail } from '../list/company_view.js';
import { EditPick } from './edit_pick.js';
import { pricePerLiked } from '../list/sort.js';
import { AbvBar, TolerancePosition } from '../list/pick_row.js';
import { estimatedPrice, pickLine, priceText } from '../list/pick_text.js';
import { alcohol, isYoung, palateModel, judged, openedId, rows, shelf, targets } from '../list/shelf_state.js';

/** @typedef {import('../list/shelf_rows.js').ShelfRow} ShelfRow */

export function DetailSheet() {
  const row = rows.value.find((each) => each.pick.id === openedId.value);
  const close = () => {
    openedId.value = null;
  };
  return html`<${Sheet} title=${row ? bottleName(row.bottle) : ''} open=${Boolean(row)} onClose=${close}>
    ${row && html`<${Detail} key=${row.pick.id} row=${row} close=${close} />`}
  <//>`;
}

/** @param {{ row: ShelfRow, close: () => void }} props */
function Detail({ row, close }) {
  const state = row.pick.fields['state'] ?? 'open';
  const andClose = (/** @type {(row: ShelfRow) => Promise<void>} */ act) => () => {
    close();
    act(row);
  };
  return html`<p class="soft">${[row.bottle?.fields['producer'], pickLine(row)].filter(Boolean).join(' \u00b7 ')}</p>
    ${row.pick.fields['words'] && html`<p class="as-typed">${row.pick.fields['words']}</p>`}
    <section class="tasting-step"><h3>${t('shelf.label_title')}</h3><${LabelRule} row=${row} /></section>
    <section class="tasting-step"><h3>${t('shelf.liking_title')}</h3><${Liking} row=${row} /></section>
    ${
      row.before.length > 0 &&
      html`<section class="tasting-step"><h3>${t('shelf.before_title')}</h3>
      <ul class="ruled">${row.before.slice(0, 5).map(
        (tasting) => html`<li key=${tasting.id}>
        <${TastingRow} tasting=${tasting} />
      </li>`,
      )}</ul>
      </section>`
    }
    <section class="tasting-step"><h3>${t('shelf.seen_title')}</h3><${Seen} row=${row} /></section>
    <div class="pick-changes">
      <${EditPick} row=${row} />
      <button type="button" class="button plain" data-once onClick=${andClose(removePick)}>${t('shelf.remove')}</button>
    </div>
    <div class="buttons pick-decision" data-once>
      ${
        state === 'open'
          ? html`<button type="button" class="button" onClick=${andClose(markSkipped)}>${t('shelf.pass')}
          </button>
          <button type="button" class="button primary" onClick=${andClose(markBought)}>${t('shelf.buy')}
          </button>`
          : html`<button type="button" class="button" onClick=${andClose(reopenPick)}>${t('shelf.look_again')}</button>`
      }
    </div>`;
}

/** @param {{ row: ShelfRow }} props shows the lawful range with its rule, date and source */
function LabelRule({ row }) {
  const { range, bottle } = row;
  const rule = [...rules.rules, ...rules.statements].find((each) => each.id === range.rule);
  return html`<${AbvBar} row=${row} notches=${tickValues(axis.value)} /><${TolerancePosition} row=${row} />
    <p>
      ${
        range.known
          ? t('shelf.label_reads', { printed: labelAbv(bottle) || t('book.no_number'), range: rangeText(range) })
          : t('shelf.no_number_long')
      }
    </p>
    <p>${ruleText(range)}</p>
    ${
      range.assumed.length > 0 &&
      html`<p class="soft small">
      ${t('shelf.assumed', {
        list: range.assumed
          .map((code) => t(`shelf.assumed_${code}`))
          .reduce((list, other) => t('shelf.two_assumptions', { list, other })),
      })}
    </p>`
    }
    ${range.errors.map((code) => html`<p class="field-error">${t(`shelf.label_error_${code}`)}</p>`)}
    ${
      rule?.law &&
      html`<p class="soft small">
      ${t('shelf.rule_source', {
        source: t(`shelf.law_${rule.law}`),
        date: date(`${rules.date}-01`, { month: 'long', year: 'numeric' }),
        status: t(`shelf.status_${range.status}`),
      })}
    </p>`
    }`;
}

/** @param {{ row: ShelfRow }} props */
function Liking({ row }) {
  const { score, company } = row;
  if (company) return html`<${CompanyDetail} company=${company} />`;
  if (!score) return html`<p>${t('shelf.no_palate')}</p>`;
  if (!judged.value) return html`<p>${t('shelf.no_verdict')}</p>`;
  const { noise_var } = palateModel.value;
  const cost = pricePerLiked(row.pick.fields['price'], score);
  const word = likelihoodText(score, noise_var, isYoung.value);
  const known = surenessText(score, noise_var, isYoung.value);
  return html`<p>${expectedText(score)}</p>
    <p>
      ${t('shelf.chance_said', { tenths: likedOfTen(score), word })} ${known}
    </p>
    ${reasonsText(score, isYoung.value, targets.value, alcohol.value).map((sentence) => html`<p>${sentence}</p>`)}
    ${
      cost !== null &&
      html`<p class="soft small">
      ${t('shelf.cost_said', { cost: estimatedPrice(cost, row.pick.fields['currency']) })}
    </p>`
    }`;
}

/** @param {{ row: ShelfRow }} props */
function Seen({ row: { pick, bottle } }) {
  const { shop, seen_at, words: note } = pick.fields;
  const picks = shelf.value.picks.filter(
    (each) => bottle && resolveBottle(shelf.value.bottles, each.fields['bottle'])?.id === bottle.id,
  );
  return html`<${FactList} entries=${[
    { name: t('field.price'), value: priceText(pick) },
    { name: t('field.shop'), value: shop },
    { name: t('field.seen_at'), value: seen_at ? date(localDateTime(seen_at)) : null },
    { name: t('field.words'), value: note },
  ]} />
    ${picks.length > 1 && html`<h3>${t('book.prices')}</h3><${Prices} picks=${picks} />`}
    ${
      bottle &&
      !bottle.fields['covered'] &&
      html`<p class="tasting-more">
    <a class="button plain" href=${`#/book/bottle/${bottle.id}`}>${t('book.bottle_life')}
    </a>
    </p>`
    }`;
}
