"""A camera within the page, which shows a picture: for tests that need no camera of the browser."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import Page

PICTURE, STILL = "/fake-camera/picture.jpg", "/fake-camera/still.jpg"
# `light`: whether the camera has a torch, which it may refuse to turn on; `stills`: whether it
# takes photos, of which it may fail.
CAMERA = """(({ picture, still, light, refuses, stills }) => {
  globalThis.camera = { torch: [], stills: 0 };
  navigator.mediaDevices.getUserMedia = async () => {
    const shown = new Image();
    shown.src = picture;
    await shown.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [shown.width, shown.height];
    const stream = canvas.captureStream();
    const context = canvas.getContext('2d');
    const show = () => {
      context.drawImage(shown, 0, 0);
      if (stream.active) requestAnimationFrame(show);
    };
    show();
    const [track] = stream.getVideoTracks();
    track.getCapabilities = () => ({ torch: light });
    track.getSettings = () => ({ torch: camera.torch.at(-1) ?? false });
    track.applyConstraints = async ({ advanced: [{ torch }] }) => {
      if (refuses) throw new DOMException('', 'OverconstrainedError');
      camera.torch.push(torch);
    };
    return stream;
  };
  globalThis.ImageCapture = stills === 'none' ? undefined : class {
    async takePhoto() {
      camera.stills += 1;
      if (stills === 'fails') throw new DOMException('', 'UnknownError');
      return (await fetch(still)).blob();
    }
  };
})"""


def _serve(page: Page, address: str, file: dict[str, Any]) -> None:
    body, kind = file["buffer"], file["mimeType"]
    page.route(f"**{address}", lambda route: route.fulfill(body=body, content_type=kind))


def use_camera(
    page: Page,
    picture: dict[str, Any],
    *,
    still: dict[str, Any] | None = None,
    stills: str = "none",
    light: bool = False,
    refuses: bool = False,
) -> None:
    """Give the page a camera, before it is opened; `stills`: `none`, `fails` or `taken`."""
    _serve(page, PICTURE, picture)
    _serve(page, STILL, still or picture)
    told = {"picture": PICTURE, "still": STILL, "light": light, "refuses": refuses}
    page.add_init_script(f"{CAMERA}({json.dumps({**told, 'stills': stills})});")
