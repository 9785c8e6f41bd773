/** Which column of a published table the catalogue's column must equal. */
export interface PublishedTable {
  readonly file: string;
  readonly size: string;
  readonly table: string;
  readonly columns: Readonly<Record<string, string>>;
  /** The catalogue's name of a printed size, where they differ. */
  readonly sizeOf?: (printed: string) => string;
  /** Only rows of the published table with one of these values. */
  readonly only?: readonly [column: string, values: readonly string[]];
  /** Only rows of the catalogue's table with this value. */
  readonly onlyOwn?: readonly [key: string, value: string];
}

const head = (file: string, table: string, columns: Readonly<Record<string, string>>): PublishedTable => ({
  file,
  size: 'size',
  table,
  columns,
});
const slotted = {
  headDiameterMax: 'dk_max_mm',
  headDiameterMin: 'dk_min_mm',
  headHeightMax: 'k_max_mm',
  drive: 'n_slot_nom_mm',
  driveDepthMin: 't_min_mm',
};

/** The catalogue's tables beside the published ones they were taken from. */
export const PUBLISHED: readonly PublishedTable[] = [
  {
    file: '01_threads_metric.csv',
    size: 'thread',
    table: 'iso-724',
    columns: {
      major: 'd_basic_major_mm',
      pitch: 'P_mm',
      pitchDiameter: 'd2_basic_pitch_mm',
      minorInternal: 'D1_basic_minor_internal_mm',
      minorExternal: 'd3_root_external_mm_formula',
    },
  },
  {
    file: '01_threads_metric.csv',
    size: 'thread',
    table: 'iso-898-1',
    columns: { stressArea: 'As_nom_mm2_ISO898-1' },
  },
  {
    file: '01_threads_metric.csv',
    size: 'thread',
    table: 'iso-2306',
    columns: { tapDrill: 'tap_drill_mm_ISO2306' },
  },
  {
    file: '01_threads_metric_limits_6H_6g.csv',
    size: 'thread',
    table: 'iso-965-2',
    columns: {
      minorInternalMax: 'D1_max_6H_mm',
      pitchInternalMax: 'D2_max_6H_mm',
      majorExternalMin: 'd_min_6g_mm',
      pitchExternalMin: 'd2_min_6g_mm',
    },
  },
  {
    file: '01_threads_unified.csv',
    size: 'thread',
    table: 'asme-b1.1',
    columns: {
      major: 'D_basic_major_in',
      threadsPerInch: 'tpi',
      pitchDiameter: 'E_basic_pitch_in',
      minorInternal: 'D1_basic_minor_internal_in',
      minorExternal: 'd3_UNR_ref_minor_external_in',
      minorExternalOld: 'd_minor_external_old_form_D-1.2269P_in',
      stressArea: 'As_in2',
    },
  },
  {
    file: '01_threads_unified.csv',
    size: 'thread',
    table: 'unified-tap-drills',
    columns: { tapDrill: 'tap_drill_in', tapDrillName: 'tap_drill_name_~75pct' },
  },
  {
    file: '02_clearance_iso273.csv',
    size: 'thread',
    table: 'iso-273',
    columns: { close: 'fine_H12_mm', medium: 'medium_H13_mm', loose: 'coarse_H14_mm' },
  },
  {
    file: '02_clearance_asme_b18_2_8.csv',
    size: 'size',
    table: 'asme-b18.2.8',
    columns: {
      close: 'close_min_in',
      medium: 'normal_min_in',
      loose: 'loose_min_in',
      looseMax: 'loose_max_in',
      closeDrill: 'close_drill',
      mediumDrill: 'normal_drill',
      looseDrill: 'loose_drill',
      closeMetric: 'close_metric_drill_mm',
      mediumMetric: 'normal_metric_drill_mm',
      looseMetric: 'loose_metric_drill_mm',
    },
  },
  head('03_iso4014_4017_hex.csv', 'iso4017-hex', {
    acrossFlats: 's_nom_max_mm',
    acrossFlatsMin: 's_min_mm',
    acrossCornersMin: 'e_min_mm',
    headHeight: 'k_nom_mm',
    headHeightMax: 'k_max_mm',
  }),
  head('03_iso4762_socket_cap.csv', 'iso4762-socket-cap', {
    headDiameterMax: 'dk_max_plain_mm',
    headDiameterKnurledMax: 'dk_max_knurled_mm',
    headDiameterMin: 'dk_min_mm',
    headHeightMax: 'k_max_mm',
    drive: 's_nom_mm',
    driveDepthMin: 't_min_mm',
  }),
  head('03_iso7380_1_button.csv', 'iso7380-1-button', {
    headDiameterMax: 'dk_max_mm',
    headDiameterMin: 'dk_min_mm',
    headHeightMax: 'k_max_mm',
    drive: 's_nom_mm',
    driveDepthMin: 't_min_mm',
  }),
  head('03_iso10642_flat.csv', 'iso10642-countersunk', {
    headDiameterMax: 'dk_theoretical_max_mm',
    headDiameterMin: 'dk_actual_min_mm',
    headHeightMax: 'k_max_mm',
    drive: 's_nom_mm',
    driveDepthMin: 't_min_mm',
    headAngle: 'head_angle_deg',
  }),
  head('03_din7991_flat_superseded.csv', 'din7991-countersunk', {
    headDiameterMax: 'dk_nom_mm',
    headHeightMax: 'k_mm',
  }),
  head('03_iso1580_slotted_pan.csv', 'iso1580-slotted-pan', slotted),
  head('03_iso1207_slotted_cheese.csv', 'iso1207-slotted-cheese', slotted),
  head('03_iso7045_cross_pan.csv', 'iso7045-cross-pan', {
    headDiameterMax: 'dk_max_mm',
    headDiameterMin: 'dk_min_mm',
    headHeightMax: 'k_max_mm',
    headHeightMin: 'k_min_mm',
  }),
  head('03_asme_b18_2_1_hex_cap.csv', 'asme-b18.2.1-hex', {
    acrossFlats: 'F_max_in',
    acrossFlatsMin: 'F_min_in',
    acrossCorners: 'G_max_in',
    acrossCornersMin: 'G_min_in',
    headHeightMax: 'H_max_in',
    headHeightMin: 'H_min_in',
  }),
  head('03_asme_b18_3_socket_cap.csv', 'asme-b18.3-socket-cap', {
    headDiameterMax: 'A_max_in',
    headDiameterMin: 'A_min_in',
    headHeightMax: 'H_max_in',
    headHeightMin: 'H_min_in',
    hexName: 'J_hex_nom',
    driveDepthMin: 'T_min_in',
  }),
  head('03_asme_b18_3_button.csv', 'asme-b18.3-button', {
    headDiameterMax: 'A_max_in',
    headDiameterMin: 'A_min_in',
    headHeightMax: 'H_max_in',
    headHeightMin: 'H_min_in',
    hexName: 'J_hex_nom',
  }),
  head('03_asme_b18_3_flat.csv', 'asme-b18.3-countersunk', {
    headDiameterMax: 'A_theor_sharp_max_in',
    headDiameterMin: 'A_abs_min_in',
    headHeightMax: 'H_ref_in',
    hexName: 'J_hex_nom',
    headAngle: 'head_angle_deg',
  }),
  head('03_asme_b18_6_3_pan.csv', 'asme-b18.6.3-pan', {
    headDiameterMax: 'A_max_in',
    headDiameterMin: 'A_min_in',
    headHeightMax: 'H_cross_max_in',
    headHeightMin: 'H_cross_min_in',
    headHeightSlottedMax: 'H_slotted_max_in',
  }),
  head('03_asme_b18_6_3_hex_machine_screw.csv', 'asme-b18.6.3-hex', {
    acrossFlats: 'F_max_in',
    acrossFlatsMin: 'F_min_in',
    acrossCornersMin: 'W_corner_min_in',
    headHeightMax: 'H_max_in',
    headHeightMin: 'H_min_in',
  }),
  {
    file: '04_counterbore_cylindrical_heads.csv',
    size: 'thread',
    table: 'din-974-1',
    columns: { diameter: 'DIN974-1_series1_d_mm' },
  },
  {
    file: '04_counterbore_hex_heads.csv',
    size: 'thread',
    table: 'jis-b-1001-spotface',
    columns: { diameter: 'JIS_B1001_spotface_d_mm' },
  },
  {
    file: '05_socket_and_wrench_od.csv',
    size: 's_mm',
    table: 'iso-2725-sockets',
    columns: { acrossFlats: 's_mm', outsideMax: 'od_max_mm' },
    only: ['tool', ['hexagon socket']],
  },
  {
    file: '05_socket_and_wrench_od.csv',
    size: 's_mm',
    table: 'jis-b-4632-ring-wrenches',
    columns: { acrossFlats: 's_mm', outsideMax: 'od_max_mm' },
    only: ['tool', ['ring (box) wrench']],
  },
  {
    file: '04_counterbore_asme_inch.csv',
    size: 'size',
    table: 'asme-b18.3-counterbore',
    columns: {
      diameter: 'handbook_appendix_d_in',
      diameterName: 'handbook_appendix_d',
      diameterMetric: 'site_mm_equivalent',
      chart: 'chart_alt_d',
      workshopFree: 'company_free_d_in',
      workshopClose: 'company_close_d_in',
      workshopDepth: 'company_depth_in',
    },
  },
  {
    file: '04_countersinks.csv',
    size: 'thread',
    table: 'countersinks',
    columns: {
      iso15065: 'ISO15065_Dc_mm_inferred',
      din74f: 'DIN74F_for_ISO10642_d_mm',
      din74a: 'DIN74A_d_mm',
    },
  },
  {
    file: '06_inserts_nasm33537_sti_hole.csv',
    size: 'thread',
    sizeOf: (printed) => printed.replace(/ UN[CF]$/, ''),
    table: 'nasm33537',
    columns: {
      minorMin: 'sti_minor_min_in',
      minorMax: 'sti_minor_max_in',
      pitchMin: 'sti_pitch_min_3B_in',
      pitchMax: 'sti_pitch_max_3B_in',
      majorMax: 'tap_major_max_in',
      countersinkMin: 'countersink_min_in',
      countersinkMax: 'countersink_max_in',
    },
  },
  {
    file: '07_washers_asme_b18_21_1_typeA.csv',
    size: 'size',
    table: 'asme-b18.21.1-type-a',
    // #10 is printed with one series only, the narrow one
    only: ['series', ['N', '']],
    onlyOwn: ['series', 'narrow'],
    columns: { inside: 'ID_basic_in', outside: 'OD_basic_in', thickness: 'T_basic_in' },
  },
  {
    file: '07_washers_asme_b18_21_1_typeA.csv',
    size: 'size',
    table: 'asme-b18.21.1-type-a',
    only: ['series', ['W']],
    onlyOwn: ['series', 'wide'],
    columns: { inside: 'ID_basic_in', outside: 'OD_basic_in', thickness: 'T_basic_in' },
  },
  {
    file: '05_wrench_openings_inch.csv',
    size: 'nominal',
    table: 'wrench-openings-inch',
    columns: { min: 'min_in', max: 'max_in' },
  },
  {
    file: '06_inserts_din7965.csv',
    size: 'thread',
    table: 'din-7965',
    columns: {
      length: 'L_mm',
      outside: 'd2_outer_thread_mm',
      core: 'd3_core_mm',
      hole: 'd5_mm_(read_as_wood_hole)',
      outerPitch: 'P1_outer_pitch_mm',
      threadLength: 'l2_mm',
    },
  },
  {
    file: '07_washers_iso7089.csv',
    size: 'thread',
    table: 'iso7089',
    columns: {
      insideMin: 'd1_min_mm',
      outsideMax: 'd2_max_mm',
      thickness: 'h_nom_mm',
      thicknessMax: 'h_max_mm',
      thicknessMin: 'h_min_mm',
    },
  },
  {
    file: '07_washers_iso7089.csv',
    size: 'thread',
    table: 'iso7093-1',
    columns: { outsideMax: 'ISO7093-1_d2_mm' },
  },
  {
    file: '08_pa66_screw_torque.csv',
    size: 'thread',
    table: 'pa66-screws',
    columns: { stressArea: 'As_nom_mm2', breakingLoad: 'break_load_N', torque: 'torque_Nm' },
  },
];
