// Reads codes in the camera's picture until it is stopped.
import { CameraError, openCamera, pictureOf } from './camera.js';
import { codeReader } from './code_reader.js';

/**
 * @param {HTMLVideoElement} video shows the camera's image
 * @param {{ code: import('./code_reader.js').Code, wait_ms: number }} what wait_ms: between two pictures
 * @param {(text: string) => unknown} use takes each code that is read; awaited
 * @param {(problem: CameraError['code'] | 'no_reader') => void} fail
 * @returns {() => void} stops the camera
 */
export function scanCodes(video, { code, wait_ms }, use, fail) {
  let isOn = true;
  let release = () => {};
  const run = async () => {
    release = await openCamera(video);
    if (!isOn) release();
    const read = await codeReader(code);
    const canvas = document.createElement('canvas');
    while (isOn) {
      const picture = pictureOf(video, canvas);
      for (const { text } of picture ? await read(picture) : []) if (isOn) await use(text);
      await new Promise((done) => {
        setTimeout(done, wait_ms);
      });
    }
  };
  run().catch((error) => {
    release();
    if (isOn) fail(error instanceof CameraError ? error.code : 'no_reader');
  });
  return () => {
    isOn = false;
    release();
  };
}
