// Run inside the page: at a tap, swap what the app's tap changed, with the app's style sheets but without its code.
async ({ sheets, classes, before, after }) => {
  const links = sheets.map((/** @type {string} */ href) => {
    const link = document.createElement('link');
    return Object.assign(link, { rel: 'stylesheet', href });
  });
  const loaded = links.map((/** @type {HTMLLinkElement} */ link) => new Promise((done) => (link.onload = done)));
  document.head.replaceChildren(...links);
  await Promise.all(loaded);
  document.documentElement.className = classes;
  /** @typedef {string | [string, string, [string, string][], Tree[]]} Tree */
  /** @type {WeakMap<Node, Tree>} */
  const treeOf = new WeakMap();
  /** @type {(tree: Tree) => Node} */
  const built = (tree) => {
    if (typeof tree === 'string') return new Text(tree);
    const [space, name, attributes, children] = tree;
    const one = document.createElementNS(space, name);
    for (const [key, value] of attributes) one.setAttribute(key, value);
    one.append(...children.map(built));
    treeOf.set(one, tree);
    return one;
  };
  const page = (/** @type {Tree[]} */ trees) => {
    const body = document.createElement('body');
    body.append(...trees.map(built));
    return body;
  };
  const [was, is] = [page(before), page(after)];
  const outer = (/** @type {Element} */ one) => one.outerHTML;
  /** @type {(old: Element, next: Element) => [Element, Element]} the smallest element that holds every difference */
  const changed = (old, next) => {
    const [mine, theirs] = [[...old.children], [...next.children]];
    const hasText = [...old.childNodes, ...next.childNodes].some(
      (node) => node.nodeType === Node.TEXT_NODE && node.textContent?.trim(),
    );
    if (hasText || mine.length !== theirs.length) return [old, next];
    const differing = mine.map((_, at) => at).filter((at) => outer(mine[at]) !== outer(theirs[at]));
    const isOne =
      differing.length === 1 &&
      outer(/** @type {Element} */ (old.cloneNode())) === outer(/** @type {Element} */ (next.cloneNode()));
    return isOne ? changed(mine[differing[0]], theirs[differing[0]]) : [old, next];
  };
  const [old, next] = changed(was, is);
  document.body.replaceWith(was);
  addEventListener(
    'click',
    (event) => {
      event.preventDefault();
      // Built at the tap, as the bare page does it, because no page has its answer ready.
      if (next === is) was.replaceChildren(...after.map(built));
      else old.replaceWith(built(/** @type {Tree} */ (treeOf.get(next))));
      for (const dialog of document.querySelectorAll('dialog[open]')) {
        dialog.removeAttribute('open');
        /** @type {HTMLDialogElement} */ (dialog).showModal();
      }
    },
    { once: true },
  );
};
