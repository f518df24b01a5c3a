// Run inside the page: from a tap to the paint of a bare page that replaces as many elements as the app did.
async ({ elements }) => {
  document.body.replaceChildren();
  const button = document.body.appendChild(document.createElement('button'));
  const place = document.body.appendChild(document.createElement('div'));
  const make = (/** @type {string} */ text) =>
    Array.from({ length: Math.ceil(elements / 4) }, (_, at) => {
      const row = document.createElement('div');
      for (let part = 0; part < 3; part += 1)
        row.appendChild(document.createElement('span')).textContent = `${text} ${at}`;
      return row;
    });
  place.replaceChildren(...make('before'));
  button.textContent = 'swap';
  button.addEventListener('click', () => place.replaceChildren(...make('after')));
};
