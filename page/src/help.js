// Help, in the page itself: it needs no network.

import { theFolder } from './desk.js';
import { folded, h, textOf } from './ui.js';

const p = (text) => h('p', {}, text);
const list = (...items) => h('ul', {}, items.map((item) => h('li', {}, item)));

export function screen() {
  const guide = h('div', {});
  const view = [h('h1', {}, 'Help'), h('div', { class: 'prose' },
    h('div', { class: 'caution', id: 'cautions' },
      h('h2', {}, 'Before you begin'),
      p('Developers, stop baths and fixers can hurt. Wear gloves and protect your eyes. Air the room. Keep food, drink and children away. Pour acid into water, never water into acid. Label every bottle.'),
      p('Follow the maker’s safety sheets and the local rules for disposal. They go before anything that is said here.')),
    h('h2', {}, 'What it does'),
    p('It reads the densities of film that was exposed through a step tablet, and works out how long to develop, what exposure index to set, and whether a bath is still good. All of it runs on this device. Nothing is sent anywhere.'),
    h('h2', {}, 'From the first strip to the first roll'),
    h('ol', {},
      h('li', {}, 'Strip: state the steps of your tablet once. Type the density of the unexposed film, and of each step from the densest patch of the tablet on. A decimal comma or point will do. A reading out of line is marked: look at it again.'),
      h('li', {}, 'Film: choose strips of one film in one developer, developed for several times, one of them warmer. Keep the pairing.'),
      h('li', {}, 'Today: the temperature gives the time. Start opens the timer; type the temperatures that you read, and the time follows them.'),
      h('li', {}, 'Bath: enter the films. Develop a control strip now and then; it shows whether the bath is still good before film goes in.')),
    folded('Strip', p('An empty field is no reading. “One more reading a step” gives room for repeated readings: they show how well you read. Every strip is kept as a file, in the folder strips, after each reading.'), p('Readings from a sheet: copy a column and paste it into the first field, or open the file.')),
    folded('Speeds', p('Contrast and times need no exposure in lux seconds. Speeds do: state the log exposure behind clear tablet where it is known. GUIDE.md below says how to find it.')),
    folded('A bath that is not to be used', p('Then there is no time. A button gives it all the same, and the warning stays first.')),
    folded('An entry that is refused', p('The same entry twice on one day, an earlier day, or an unlikely amount is asked about first. If it is right, press the button below the message.')),
    folded('Files', p('They are the files that the program on a computer reads and writes. Save all as a zip, unpack it there, and go on. A file is never replaced by another of the same name: that gets a name of its own.')),
    folded('Command line', p('Plans of a session, tones, fixing and washing, faults of films and comparisons have no screen of their own. They are asked by a line of text, as on a computer.')),
    folded('A time without strips', p('Today converts a known time to another temperature. Whether it is right for your film and bath, only strips can say.')),
    folded('Two windows', p('Both work on the same files. Each keeps its own strip; what one writes, the other shows.')),
    folded('The red look', p('Black and red only. It is for eyes that are used to the dark. A screen is not a safelight: keep it away from open film and paper.')),
    folded('Keys', list('Tab and Shift+Tab go from field to field, Enter goes down a step, and up with Shift.', 'Alt+1 to Alt+5 open the tasks of the bar.')),
    folded('Licences', h('pre', { tabindex: '0' }, document.getElementById('licences')?.textContent ?? '')),
    guide)];
  const begun = (async () => {
    const bytes = await theFolder().read('GUIDE.md');
    if (bytes) guide.append(folded('GUIDE.md: how to make strips and find the exposure', h('pre', { tabindex: '0' }, textOf(bytes))));
  })();
  return { view, begun };
}
