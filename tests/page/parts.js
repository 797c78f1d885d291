// The page's core and folder without its screens, as the tests in a browser use them.

import { Core, moduleOfPage } from '../../page/src/core.js';
import { Folder, NotKept, checkedName } from '../../page/src/folder.js';
import { isZip, packed, unpacked } from '../../page/src/zip.js';

globalThis.parts = { Core, moduleOfPage, Folder, NotKept, checkedName, isZip, packed, unpacked };
