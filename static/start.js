// The first thing that runs: what was seen last is painted, and only then is the app read, which takes a slow phone longer than the paint.
import { paintSeen } from './seen.js';

/** @param {() => void} work */
function afterPaint(work) {
  requestAnimationFrame(() => { setTimeout(work); });
}

const open = () => { import('./app.js'); };
if (paintSeen() && document.visibilityState === 'visible') afterPaint(open);
else open();
