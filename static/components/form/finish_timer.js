// Times the finish with one button: start when the wine is swallowed or spat, stop when the taste
// is gone. The caller stores the start time, so that the timer survives a restart of the app.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/**
 * @param {object} props
 * @param {number | null | undefined} props.seconds the recorded finish
 * @param {number | null} props.startedAt milliseconds since 1970; null if not running
 * @param {(startedAt: number | null) => void} props.onStart
 * @param {(seconds: number) => void} props.onStop
 */
export function FinishTimer({ seconds, startedAt, onStart, onStop }) {
  const [now, setNow] = useState(Date.now());
  const running = startedAt !== null;
  useEffect(() => {
    if (!running) return undefined;
    const tick = setInterval(() => setNow(Date.now()), 200);
    return () => clearInterval(tick);
  }, [running]);
  const isTimed = seconds !== null && seconds !== undefined;
  const elapsed = running ? Math.max(0, Math.floor((now - startedAt) / 1000)) : (seconds ?? 0);
  const press = () => {
    if (running) {
      onStop(Math.max(0, Math.round((Date.now() - startedAt) / 100) / 10));
      onStart(null);
    } else {
      setNow(Date.now());
      onStart(Date.now());
    }
  };
  return html`<div class="timer">
    <button type="button" class=${running ? 'timer-button running' : 'timer-button'} onClick=${press}>
      <span class="timer-seconds" aria-hidden=${running || !isTimed ? 'true' : 'false'}>
        ${running || isTimed ? Math.round(elapsed) : '\u2013'}
      </span>
      <span>
        ${t(`parts.finish_${running ? 'stop' : isTimed ? 'again' : 'start'}`)}
      </span>
    </button>
    ${
      running &&
      html`<button type="button" class="button plain" onClick=${() => onStart(null)}>
      ${t('parts.finish_cancel')}
    </button>`
    }
  </div>`;
}
