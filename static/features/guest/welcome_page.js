// What a guest reads before giving a name: who leads, how many glasses, what is kept and for how long.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { TextField } from '../../components/form/field.js';
import { GuestError, lookAt } from '../../domain/guest/guest_api.js';
import { isSeatedAt, joinTable, lastName } from '../../domain/guest/join_table.js';
import { GuestPage } from './guest_page.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../domain/guest/guest_api.js').Look} Look */

const NAME_LENGTH = 60;
const PROBLEMS = ['no_network', 'no_such_table', 'full', 'guest_taken', 'guest_ended'];

/** @param {{ invitation: Record<string, string>, onJoined: (table: string) => void }} props */
export function WelcomePage({ invitation, onJoined }) {
  const [look, setLook] = useState(/** @type {Look | null} */ (null));
  const [problem, setProblem] = useState('');
  const [tries, setTries] = useState(0);
  useEffect(() => {
    lookAt(invitation).then(
      async (found) => {
        setProblem('');
        // The guest may have joined by the code before, and come by the link now.
        if (await isSeatedAt(found.group_tasting)) onJoined(found.group_tasting);
        else setLook(found);
      },
      (error) => setProblem(problemKey(error)),
    );
  }, [tries]);
  return html`<${GuestPage} title=${look?.name || t('guest.welcome')}>
    ${look && html`<${Seat} invitation=${invitation} look=${look} onJoined=${onJoined} />`}
    ${!look && !problem && html`<p class="soft" role="status">${t('guest.looking')}</p>`}
    ${!look && problem && html`<${Problem} problem=${problem} onRetry=${() => setTries(tries + 1)} />`}
  <//>`;
}

/** @param {{ problem: string, onRetry: () => void }} props */
function Problem({ problem, onRetry }) {
  return html`<p class="voice guide" role="alert">${t(`guest.problem_${problem}`)}</p>
    <div class="buttons"><button type="button" class="button primary" onClick=${onRetry}>${t('guest.again')}</button>
      <a class="button plain" href="#/guest">${t('guest.other_code')}</a></div>`;
}

/** @param {unknown} error */
function problemKey(error) {
  if (!(error instanceof GuestError)) return 'storage';
  if (error.status === 429) return 'busy';
  return PROBLEMS.includes(error.code) ? error.code : 'failed';
}

/** @param {{ invitation: Record<string, string>, look: Look, onJoined: (table: string) => void }} props */
function Seat({ invitation, look, onJoined }) {
  const submit = (/** @type {string} */ name) => joinTable(invitation, look, name).then(onJoined);
  return html`<${AboutTable} leader=${look.leader_name} glasses=${look.glasses} labelsHidden=${look.labels_hidden}
      namesShown=${look.names_shown} keepsDays=${look.keeps_days} />
    <${NameForm} onSubmit=${submit} isFocused=${'code' in invitation} />`;
}

/**
 * @param {{ leader: string | null, glasses: number, labelsHidden: boolean, namesShown: boolean, keepsDays: number |
 *   null, isByCodes?: boolean }} props
 */
export function AboutTable({ leader, glasses, labelsHidden, namesShown, keepsDays, isByCodes = false }) {
  const who = leader || t('guest.the_leader');
  const kept =
    keepsDays === null ? t('guest.kept_by_leader', { leader: who }) : t('guest.kept_days', { count: keepsDays });
  return html`<p class="voice guide">${t('guest.led_by', { leader: who })}
      ${' '}${t(labelsHidden ? 'guest.glasses_hidden' : 'guest.glasses', { count: glasses })}</p>
    <ul class="guest-kept">
      <li>${t(isByCodes ? 'guest.kept_codes' : 'guest.kept_what', { leader: who })}</li>
      <li>${t(namesShown ? 'guest.kept_names' : 'guest.kept_nameless')}</li>
      <li>${kept}</li>
    </ul>
    <p class="guest-caution soft small">${t('pour.caution')}</p>`;
}

/**
 * @param {{ onSubmit: (name: string) => Promise<unknown>, isFocused?: boolean }} props isFocused: for a guest who has
 *   just typed the code
 */
export function NameForm({ onSubmit, isFocused = false }) {
  const form = useRef(/** @type {HTMLFormElement | null} */ (null));
  useEffect(() => {
    if (isFocused) form.current?.querySelector('input')?.focus({ preventScroll: true });
  }, []);
  const [name, setName] = useState(/** @type {string | null} */ (null));
  const [problem, setProblem] = useState('');
  const [isSending, setSending] = useState(false);
  useEffect(() => {
    lastName().then(
      (last) => setName((typed) => typed ?? (last || null)),
      () => undefined,
    );
  }, []);
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const given = (name ?? '').trim();
    if (!given || isSending) return;
    setSending(true);
    setProblem('');
    await onSubmit(given).catch((error) => setProblem(problemKey(error)));
    setSending(false);
  };
  return html`<form class="guest-name" ref=${form} onSubmit=${send}>
    <${TextField} label=${t('guest.first_name')} value=${name} onChange=${setName} maxLength=${NAME_LENGTH}
      autocomplete="given-name" autocapitalize="words" className="name-input" />
    ${problem && html`<p class="field-error" role="alert">${t(`guest.problem_${problem}`)}</p>`}
    <${AtThumb}><button class="button primary" disabled=${!(name ?? '').trim() || isSending}>
      ${t(isSending ? 'guest.joining' : 'guest.join')}</button><//>
  </form>`;
}
