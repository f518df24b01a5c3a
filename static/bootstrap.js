/*
 * The first script. It blocks rendering (`blocking="render"`), so that the cover or the snapshot of
 * the last visit is the first paint. The app is imported after that paint, because parsing it takes
 * long on a slow phone.
 */
import { restoreSnapshot } from './first_paint.js';
import { untilLoaded } from './lib/until_loaded.js';

/** @param {() => void} work */
function afterPaint(work) {
  requestAnimationFrame(() => {
    setTimeout(work);
  });
}

const loadApp = () => {
  untilLoaded(() => import('./app.js'));
};
restoreSnapshot();
// A hidden page is not painted, so no animation frame comes.
if (document.visibilityState === 'visible') afterPaint(loadApp);
else loadApp();
