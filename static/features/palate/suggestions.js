// Suggested styles in three separate lists, each entry with reasons and confidence; the third list is folded.
import { html, useMemo } from '../../lib/ui.js';
import { number } from '../../lib/format.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { Fold } from '../../components/layout/fold.js';
import { Interval } from '../../components/chart/interval_row.js';
import { t } from '../../i18n.js';
import { openEvidence } from './evidence.js';
import { styleName } from '../../domain/style_names.js';
import {
  aboutTasted,
  formatChance,
  formatScore,
  formatSigned,
  idealOf,
  isLiked,
  knownReasons,
  reasonSentences,
  reasonText,
} from '../../domain/palate/text.js';
import { likingInterval } from './styles.js';

/** @typedef {import('../../domain/palate/document.js').NextStyle} NextStyle */
/** @typedef {import('../../domain/palate/document.js').Reason} Reason */
/** @typedef {import('../../domain/palate/document.js').TastedStyle} TastedStyle */
/** @typedef {import('../../domain/palate/document.js').Target} Target */
/** @typedef {import('../../domain/palate/document.js').Alcohol} Alcohol */

const LIKING = { min: 1, max: 9 };
const NEITHER = 5;
const AT_FIRST = 2;
const LISTS = /** @type {const} */ (['close', 'stretch']);

/** From this chance on, a style is called a safe choice. */
const SAFE = 0.75;

/**
 * @param {{ next: Record<'close' | 'stretch' | 'teaches', NextStyle[]>, styles: TastedStyle[], targets: Target[],
 *   isYoung: boolean, alcohol: Alcohol | null }} props isYoung: too few ratings for a safe choice
 */
export function Suggestions({ next: all, styles, targets, isYoung, alcohol }) {
  const tasted = useMemo(() => new Map(styles.map((style) => [style.style, style])), [styles]);
  const next = useMemo(
    () => withKnownReasons(all, tasted, { targets, isYoung, alcohol }),
    [all, tasted, targets, isYoung, alcohol],
  );
  const isSafe = !isYoung && (next.close[0]?.p_like ?? 1) >= SAFE;
  const keyOf = (/** @type {(typeof LISTS)[number]} */ name) =>
    name === 'close' && !isSafe ? 'palate.next_likeliest' : `palate.next_${name}`;
  const row = (/** @type {NextStyle} */ entry) =>
    html`<${NextEntry} key=${entry.style} entry=${entry} tasted=${tasted.get(entry.style)} targets=${targets} />`;
  return html`<section class="palate-part" aria-labelledby="palate-next">
    <h2 id="palate-next">${t('palate.next')}</h2>
    <p class="soft small">${t('palate.next_legend')}</p>
    ${LISTS.map(
      (name) => html`<h3>${t(keyOf(name))}</h3>
      <p class="soft small">${t(next[name].length ? `${keyOf(name)}_note` : 'palate.next_none')}</p>
      <${ExpandableList} ordered items=${next[name]} initialCount=${AT_FIRST} row=${row}
          more=${t('palate.show_all', { count: next[name].length })} lessText=${t('palate.show_fewer')} />`,
    )}
    ${
      next.teaches.length > 0 &&
      html`<${Fold} level="h3" title=${t('palate.next_teaches')}
          line=${t('palate.n_styles', { count: next.teaches.length })}>
        <p class="soft small">${t('palate.next_teaches_note')}</p>
        <ol class="ruled">${next.teaches.map(row)}</ol>
      <//>`
    }
  </section>`;
}

/**
 * @param {Record<'close' | 'stretch' | 'teaches', NextStyle[]>} next
 * @param {Map<string, TastedStyle>} tasted
 * @param {Parameters<typeof knownReasons>[1]} said
 */
function withKnownReasons(next, tasted, said) {
  const known = (/** @type {NextStyle[]} */ entries) =>
    entries.map((entry) => ({
      ...entry,
      reasons: knownReasons(
        aboutTasted(entry.reasons, (style) => tasted.has(style)),
        said,
      ),
    }));
  return { close: known(next.close), stretch: known(next.stretch), teaches: known(next.teaches) };
}

/**
 * Show suggestions before the first rating: only the list of styles that teach most.
 * @param {{ entries: NextStyle[] }} props
 */
export function StartSuggestions({ entries }) {
  return html`<section class="palate-part" aria-labelledby="palate-begin">
    <h2 id="palate-begin">${t('palate.next_begin')}</h2>
    <p class="soft small">${t('palate.next_begin_note')}</p>
    <ol class="ruled">
      ${entries.map(
        ({ style }) => html`<li class="begin-entry" key=${style}>
      <span class="name">${styleName(style)}
      </span>
      </li>`,
      )}
    </ol>
  </section>`;
}

/** @param {{ entry: NextStyle, tasted: TastedStyle | undefined, targets: Target[] }} props */
function NextEntry({ entry, tasted, targets }) {
  const { style, mean, sd, p_like, reasons } = entry;
  const [low, high] = likingInterval(mean, sd);
  const count = tasted ? t('palate.n_tastings', { count: tasted.n }) : t('palate.never_rated');
  return html`<li class="next-entry"><button type="button" onClick=${() => openEntry(entry, tasted, targets)}>
    <span class="next-head">
    <span class="name">${styleName(style)}
    </span>
    <span class="figure">${formatScore(mean)}
    </span>
    </span>
    <${Interval} ...${LIKING} tick=${NEITHER} low=${low} high=${high} mark=${mean} filled=${isLiked(mean)} />
    <span class="small">${t('palate.chance', { share: formatChance(p_like) })}<span class="soft"> \u00b7 ${count}</span>
    </span>
    <span class="voice">${reasonSentences(reasons, targets).join(' ')}</span>
  </button></li>`;
}

/** @param {NextStyle} entry @param {TastedStyle | undefined} tasted @param {Target[]} targets */
function openEntry({ style, mean, sd, p_like, reasons }, tasted, targets) {
  const [low, high] = likingInterval(mean, sd);
  openEvidence({
    title: styleName(style),
    sentences: [
      t('palate.next_numbers', {
        liking: number(mean),
        low: number(low),
        high: number(high),
        share: formatChance(p_like),
      }),
      ...(reasons.length ? [t('palate.next_parts')] : []),
      ...reasons.map((reason) => pointsSentence(reason, targets)),
    ],
    count: tasted?.n ?? 0,
    tastings: (tasted?.tastings ?? []).map((id) => ({ id })),
  });
}

/**
 * Say what a reason adds, and where the wine and the ideal point are.
 * @param {Reason} reason
 * @param {Target[]} targets
 */
function pointsSentence(reason, targets) {
  const said = { reason: reasonText(reason, targets), points: formatSigned(reason.effect) };
  const target = idealOf(reason, targets)?.target ?? null;
  if (target === null || typeof reason.value !== 'number') return t('palate.reason_points', said);
  return t('palate.reason_points_at', { ...said, value: number(reason.value), target: number(target) });
}
