/*
 * The first thing that runs, and the page is not painted before (it blocks rendering, where the browser knows
 * that): the
 * cover, or in its place what was seen last, is painted, and only then is the app read, which takes a slow phone
 * longer.
 */
import { restoreSnapshot } from './first_paint.js';

/** @param {() => void} work */
function afterPaint(work) {
  requestAnimationFrame(() => {
    setTimeout(work);
  });
}

const loadApp = () => {
  import('./app.js');
};
restoreSnapshot();
// A page that nobody looks at is not painted.
if (document.visibilityState === 'visible') afterPaint(loadApp);
else loadApp();
