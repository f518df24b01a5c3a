/**
 * What a screen is made of, in one import: elements, hooks and signals.
 * `html` is a tagged template: html`<p class=${name}>${text}</p>`.
 *
 * @template T
 * @typedef {import("../vendor/signals.js").ReadonlySignal<T>} ReadonlySignal
 */
import { h, render } from '../vendor/preact.js';
import htm from '../vendor/htm.js';

export const html = htm.bind(h);

export { h, render };
export { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from '../vendor/preact-hooks.js';
export { batch, computed, effect, Signal, signal, useSignalEffect } from '../vendor/signals.js';
