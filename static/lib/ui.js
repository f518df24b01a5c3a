/**
 * Preact, hooks and signals in one import. `html` is a tagged template: html`<p
 * class=${name}>${text}</p>`.
 *
 * @template T
 * @typedef {import("../vendor/signals.js").ReadonlySignal<T>} ReadonlySignal
 */
/**
 * @template T
 * @typedef {import("../vendor/signals.js").Signal<T>} Signal
 */
import { h, render } from '../vendor/preact.js';
import htm from '../vendor/htm.js';

export const html = htm.bind(h);

/* The bundler compiles `html` into calls of `h`. */
export { h, render };
export { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from '../vendor/preact-hooks.js';
export { batch, computed, effect, signal, useSignalEffect } from '../vendor/signals.js';
