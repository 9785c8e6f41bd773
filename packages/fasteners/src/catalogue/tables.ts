import asmeB11 from '../data/asme-b1.1.json' with { type: 'json' };
import asmeB11Limits from '../data/asme-b1.1-limits.json' with { type: 'json' };
import asmeB1821Hex from '../data/asme-b18.2.1-hex.json' with { type: 'json' };
import asmeB1828 from '../data/asme-b18.2.8.json' with { type: 'json' };
import asmeB183Button from '../data/asme-b18.3-button.json' with { type: 'json' };
import asmeB183Counterbore from '../data/asme-b18.3-counterbore.json' with { type: 'json' };
import asmeB183Countersunk from '../data/asme-b18.3-countersunk.json' with { type: 'json' };
import asmeB183SocketCap from '../data/asme-b18.3-socket-cap.json' with { type: 'json' };
import asmeB1863Hex from '../data/asme-b18.6.3-hex.json' with { type: 'json' };
import asmeB1863Pan from '../data/asme-b18.6.3-pan.json' with { type: 'json' };
import asmeB18211Limits from '../data/asme-b18.21.1-limits.json' with { type: 'json' };
import asmeB18211TypeA from '../data/asme-b18.21.1-type-a.json' with { type: 'json' };
import counterboreDepth from '../data/counterbore-depth.json' with { type: 'json' };
import countersinks from '../data/countersinks.json' with { type: 'json' };
import din9741 from '../data/din-974-1.json' with { type: 'json' };
import din7965 from '../data/din-7965.json' with { type: 'json' };
import din7991Countersunk from '../data/din7991-countersunk.json' with { type: 'json' };
import drillPoints from '../data/drill-points.json' with { type: 'json' };
import drillSizes from '../data/drill-sizes.json' with { type: 'json' };
import iso273 from '../data/iso-273.json' with { type: 'json' };
import iso724 from '../data/iso-724.json' with { type: 'json' };
import iso8981 from '../data/iso-898-1.json' with { type: 'json' };
import iso9652 from '../data/iso-965-2.json' with { type: 'json' };
import iso2306 from '../data/iso-2306.json' with { type: 'json' };
import iso2725Sockets from '../data/iso-2725-sockets.json' with { type: 'json' };
import iso47591Length from '../data/iso-4759-1-length.json' with { type: 'json' };
import iso1207SlottedCheese from '../data/iso1207-slotted-cheese.json' with { type: 'json' };
import iso1580SlottedPan from '../data/iso1580-slotted-pan.json' with { type: 'json' };
import iso4017Hex from '../data/iso4017-hex.json' with { type: 'json' };
import iso4762SocketCap from '../data/iso4762-socket-cap.json' with { type: 'json' };
import iso7045CrossPan from '../data/iso7045-cross-pan.json' with { type: 'json' };
import iso7089 from '../data/iso7089.json' with { type: 'json' };
import iso7089Limits from '../data/iso7089-limits.json' with { type: 'json' };
import iso70931 from '../data/iso7093-1.json' with { type: 'json' };
import iso73801Button from '../data/iso7380-1-button.json' with { type: 'json' };
import iso10642Countersunk from '../data/iso10642-countersunk.json' with { type: 'json' };
import jisB1001Spotface from '../data/jis-b-1001-spotface.json' with { type: 'json' };
import jisB4632RingWrenches from '../data/jis-b-4632-ring-wrenches.json' with { type: 'json' };
import materials from '../data/materials.json' with { type: 'json' };
import nasm33537 from '../data/nasm33537.json' with { type: 'json' };
import pa66Properties from '../data/pa66-properties.json' with { type: 'json' };
import pa66Screws from '../data/pa66-screws.json' with { type: 'json' };
import screwLengthsInch from '../data/screw-lengths-inch.json' with { type: 'json' };
import screwLengthsMetric from '../data/screw-lengths-metric.json' with { type: 'json' };
import unifiedTapDrills from '../data/unified-tap-drills.json' with { type: 'json' };
import wrenchOpeningsInch from '../data/wrench-openings-inch.json' with { type: 'json' };
import type { CatalogueTable } from './table.ts';

/**
 * Every table of the catalogue, as its JSON file has it. The files are the source of truth; their shape is
 * proven by `schemas/catalogue-table.schema.json` (see `scripts/validate-data.mjs`), which is why the
 * widening of the literal types below is safe.
 */
export const TABLES = [
  asmeB11Limits,
  asmeB11,
  asmeB1821Hex,
  asmeB1828,
  asmeB18211Limits,
  asmeB18211TypeA,
  asmeB183Button,
  asmeB183Counterbore,
  asmeB183Countersunk,
  asmeB183SocketCap,
  asmeB1863Hex,
  asmeB1863Pan,
  counterboreDepth,
  countersinks,
  din7965,
  din9741,
  din7991Countersunk,
  drillPoints,
  drillSizes,
  iso2306,
  iso2725Sockets,
  iso273,
  iso47591Length,
  iso724,
  iso8981,
  iso9652,
  iso10642Countersunk,
  iso1207SlottedCheese,
  iso1580SlottedPan,
  iso4017Hex,
  iso4762SocketCap,
  iso7045CrossPan,
  iso7089Limits,
  iso7089,
  iso70931,
  iso73801Button,
  jisB1001Spotface,
  jisB4632RingWrenches,
  materials,
  nasm33537,
  pa66Properties,
  pa66Screws,
  screwLengthsInch,
  screwLengthsMetric,
  unifiedTapDrills,
  wrenchOpeningsInch,
] as unknown as readonly CatalogueTable[];
