/* What the planner gets: masters, lots with rolls, orders, recipes. */
#include "mill_lots_kit.h"

static void masters_site_and_machine(void **state)
{
    const fixture *f = *state;
    const mdr_site *s = f->masters.site;
    assert_non_null(s);
    assert_string_equal(s->name, "Mill \"North\", invented");
    assert_string_equal(s->currency, "EUR");
    assert_true(s->invented);
    CHECK_NEAR(s->hardness_dh, 3.5, 0, KIT_SRC);
    CHECK_NEAR(s->power_minor_per_mwh, 12000, 0, KIT_SRC);
    CHECK_NEAR(s->alkalinity_mmol_per_l, 2.125, 0, KIT_SRC);
    CHECK_NEAR(s->steam_co2_kg_per_t, 175.5, 0, KIT_SRC);
    CHECK_NEAR(s->power_co2_kg_per_mwh, 0, 0, "contract: 0 when not counted");
    CHECK_NEAR(s->water_co2_kg_per_m3, 0.75, 0, KIT_SRC);
    assert_int_equal(f->masters.n_machines, 2);
    const mdr_machine *m = mdr_masters_machine(&f->masters, "W-1");
    assert_non_null(m);
    assert_string_equal(m->name, "=Winch");
    assert_int_equal(m->kind, MDR_MACHINE_WINCH);
    assert_int_equal(m->tubes, 4);
    CHECK_NEAR(m->load_min_kg, 300.5, 0, KIT_SRC);
    CHECK_NEAR(m->cycle_max_min, 20000.0 / 60000.0, 0, "D: 20 s");
    CHECK_NEAR(m->exchanger_kw_per_k, 12.75, 0, KIT_SRC);
    assert_int_equal(m->tank_water, MDR_TANK_BATH);
    CHECK_NEAR(m->power_kw, 12.5, 0, KIT_SRC);
    CHECK_NEAR(m->air_g_o2_per_kg_h, 0, 0, "contract: 0 when not given");
    CHECK_NEAR(mdr_masters_machine(&f->masters, "J1")->air_g_o2_per_kg_h, 0.5, 0, KIT_SRC);
    assert_null(mdr_masters_machine(&f->masters, "W-2"));
    assert_null(mdr_masters_machine(&f->masters, NULL));
}

static void masters_materials(void **state)
{
    const fixture *f = *state;
    assert_int_equal(f->masters.n_materials, 6);
    for (int i = 1; i < f->masters.n_materials; i++) {
        assert_true(strcmp(f->masters.materials[i - 1].material_id,
                           f->masters.materials[i].material_id) < 0);
    }
    const mdr_material *red = mdr_masters_material(&f->masters, "RED");
    assert_non_null(red);
    assert_true(red->is_dye);
    assert_int_equal(red->substance, MDR_SUB_DYE);
    assert_int_equal(red->dye_class, MDR_CLASS_REACTIVE);
    assert_string_equal(red->salt_table, "SALT");
    assert_string_equal(red->swatch, "#b03a2e");
    assert_int_equal(red->cautions, 1u << MDR_CAUTION_DUST | 1u << MDR_CAUTION_SENSITISER);
    CHECK_NEAR(red->density_kg_per_l, 0, 0, "contract: 0 when not given");
    CHECK_NEAR(red->stock_kg, 120.25, 0, KIT_SRC);
    CHECK_NEAR(red->baume, 0, 0, "contract: dyes have none");
    CHECK_NEAR(red->exhaustion_pct, 88.5, 0, KIT_SRC);
    CHECK_NEAR(red->fixation_pct, 72.25, 0, KIT_SRC);
    assert_int_equal(red->dyeing_group, MDR_GROUP_BIFUNCTIONAL);
    CHECK_NEAR(red->primary_exhaustion_pct, 52.5, 0, KIT_SRC);
    CHECK_NEAR(red->fix_first_pct, 40.125, 0, KIT_SRC);
    CHECK_NEAR(red->fix_first_min, 12.5, 0, KIT_SRC);
    CHECK_NEAR(red->half_dyeing_min, 9.25, 0, KIT_SRC);
    CHECK_NEAR(red->molar_g_per_mol, 912.625, 0, KIT_SRC);
    CHECK_NEAR(red->charge, 4, 0, KIT_SRC);
    CHECK_NEAR(red->cod_g_per_g, 1.125, 0, KIT_SRC);
    CHECK_NEAR(red->co2_kg_per_kg, 12.5, 0, KIT_SRC);
    CHECK_NEAR(red->capacity_mg_per_g, 0, 0, "contract: chemicals only");
    CHECK_NEAR(red->acid_mol_per_kg, 0, 0, "contract: chemicals only");
    assert_int_equal(red->nature, MDR_NATURE_USUAL); /* contract: empty is the first choice */
    const mdr_material *blue = mdr_masters_material(&f->masters, "BLUE");
    assert_string_equal(blue->alkali_table, "");
    assert_string_equal(blue->swatch, "");
    assert_string_equal(blue->remark, "");
    assert_int_equal(blue->cautions, 0);
    assert_int_equal(blue->nature, MDR_NATURE_PHTHALOCYANINE);
    CHECK_NEAR(blue->exhaustion_pct, 0, 0, "contract: 0 when not given");
    CHECK_NEAR(blue->half_dyeing_min, 0, 0, "contract: 0 when not given");
    CHECK_NEAR(blue->charge, 0, 0, "contract: 0 when not given");
    assert_int_equal(blue->dyeing_group, MDR_GROUP_UNSTATED);
    const mdr_material *violet = mdr_masters_material(&f->masters, "VIOLET");
    CHECK_NEAR(violet->price_minor_per_kg, 0, 0, "contract: 0 when not known");
    assert_int_equal(violet->nature, MDR_NATURE_BLACK);
    assert_int_equal(violet->dyeing_group, MDR_GROUP_VAT_IW);
    CHECK_NEAR(violet->half_dyeing_min, 5.5, 0, KIT_SRC);
    CHECK_NEAR(violet->exhaustion_pct, 90, 0, KIT_SRC);
    CHECK_NEAR(violet->fixation_pct, 0, 0, "contract: 0 when not given");
    const mdr_material *lye = mdr_masters_material(&f->masters, "LYE");
    assert_false(lye->is_dye);
    assert_int_equal(lye->dye_class, MDR_CLASS_NONE);
    assert_int_equal(lye->substance, MDR_SUB_NAOH);
    CHECK_NEAR(lye->baume, 38, 0, KIT_SRC);
    CHECK_NEAR(lye->strength_pct, 0, 0, "contract: 0 when baume is given");
    assert_string_equal(lye->salt_table, "");
    assert_string_equal(lye->swatch, "");
    CHECK_NEAR(lye->co2_kg_per_kg, 0.625, 0, KIT_SRC);
    CHECK_NEAR(lye->cod_g_per_g, 0, 0, "contract: 0 when not known");
    assert_int_equal(lye->nature, MDR_NATURE_USUAL);
    const mdr_material *wet = mdr_masters_material(&f->masters, "WET");
    assert_string_equal(wet->remark, "@home"); /* no apostrophe was there to take away */
    assert_int_equal(wet->substance, MDR_SUB_SEQUESTRANT);
    CHECK_NEAR(wet->capacity_mg_per_g, 117.5, 0, KIT_SRC);
    CHECK_NEAR(wet->acid_mol_per_kg, 2.75, 0, KIT_SRC);
    CHECK_NEAR(wet->cod_g_per_g, 0.875, 0, KIT_SRC);
}

static void masters_tables_and_recipes(void **state)
{
    const fixture *f = *state;
    const mdr_dose_table *salt = mdr_masters_dose_table(&f->masters, "SALT");
    assert_int_equal(salt->n_bands, 3);
    CHECK_NEAR(salt->bands[0].depth_max_pct_owf, 0.5, 0, KIT_SRC);
    CHECK_NEAR(salt->bands[2].amount_g_per_l, 80, 0, KIT_SRC);
    assert_int_equal(salt->counted_as, MDR_SUB_NA2SO4);
    assert_int_equal(salt->between, MDR_BETWEEN_LINEAR);
    assert_int_equal(salt->ratio_rule, MDR_RATIO_RULE_BAND_LESS);
    assert_int_equal(salt->swap, MDR_SWAP_SODIUM);
    const mdr_dose_table *soda = mdr_masters_dose_table(&f->masters, "SODA");
    assert_int_equal(soda->n_bands, 2);
    assert_int_equal(soda->counted_as, MDR_SUB_OTHER);
    assert_int_equal(soda->between, MDR_BETWEEN_STEP);
    assert_int_equal(soda->ratio_rule, MDR_RATIO_RULE_NONE);
    assert_int_equal(soda->swap, MDR_SWAP_MASS);
    CHECK_NEAR(soda->bands[0].amount_g_per_l, 8, 0, KIT_SRC);
    const mdr_shade *b = mdr_masters_shade(&f->masters, "BORDEAUX");
    assert_int_equal(b->n_dyes, 2);
    assert_ptr_equal(b->dyes[0].dye, mdr_masters_material(&f->masters, "RED"));
    CHECK_NEAR(b->dyes[1].depth_pct_owf, 0.000125, 0, KIT_SRC);
    CHECK_NEAR(b->lab_b, -4.75, 0, KIT_SRC);
    assert_int_equal(mdr_masters_shade(&f->masters, "WHITE")->n_dyes, 0);
    const mdr_article *a = mdr_masters_article(&f->masters, "RIB");
    assert_int_equal(a->construction, MDR_KNIT_RIB_1X1);
    assert_int_equal(a->finish_line, MDR_LINE_TUBULAR);
    assert_string_equal(a->remark, "+soft"); /* its apostrophe was taken away */
    CHECK_NEAR(a->elastane_pct, 5, 0, KIT_SRC);
    CHECK_NEAR(a->calcium_mg_per_kg, 0, 0, "contract: 0 when not given");
    const mdr_article *jersey = mdr_masters_article(&f->masters, "SJ30");
    CHECK_NEAR(jersey->calcium_mg_per_kg, 812.5, 0, KIT_SRC);
    CHECK_NEAR(jersey->magnesium_mg_per_kg, 604, 0, KIT_SRC);
}

static void an_empty_mill_has_empty_masters(void **state)
{
    (void)state;
    const kit_dir d = kit_dir_make();
    mdr_err err;
    mdr_masters m;
    mdr_lot_line *lines;
    mdr_order *orders;
    mdr_route_doc *routes;
    mdr_lot_full lot;
    int n = -1;
    mdr_mill *mill = kit_empty(&d);
    mdr_arena *arena = mdr_arena_new((size_t)1 << 20);
    KIT_OK(mdr_mill_masters(mill, arena, &m, &err), &err);
    assert_null(m.site);
    assert_int_equal(m.n_machines + m.n_articles + m.n_materials + m.n_dose_tables + m.n_shades, 0);
    assert_null(mdr_masters_material(&m, "X"));
    KIT_OK(mdr_mill_lots(mill, &m, arena, &lines, &n, &err), &err);
    assert_int_equal(n, 0);
    KIT_OK(mdr_mill_orders(mill, arena, &orders, &n, &err), &err);
    assert_int_equal(n, 0);
    KIT_OK(mdr_mill_routes(mill, arena, &routes, &n, &err), &err);
    assert_int_equal(n, 0);
    assert_int_equal(mdr_mill_lot(mill, &m, "X", arena, &lot, &err), MDR_E_NOTFOUND);
    assert_non_null(strstr(err.remedy, "no lots yet"));
    mdr_arena_free(arena);
    mdr_mill_close(mill);
    kit_dir_remove(&d);
}

static void a_lot_comes_with_all_it_refers_to(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lot_full l;
    KIT_OK(mdr_mill_lot(f->mill, &f->masters, "L26-0001", f->arena, &l, &err), &err);
    assert_string_equal(l.lot.lot_id, "L26-0001");
    assert_string_equal(l.lot.order_id, "O-1");
    assert_string_equal(l.lot.customer, "A, B and C");
    assert_ptr_equal(l.lot.article, mdr_masters_article(&f->masters, "SJ30"));
    assert_ptr_equal(l.lot.shade, mdr_masters_shade(&f->masters, "BORDEAUX"));
    assert_int_equal(l.lot.shade->n_dyes, 2);
    assert_int_equal(l.lot.n_rolls, 2);
    assert_string_equal(l.lot.rolls[0].roll_id, "G1");
    CHECK_NEAR(l.lot.rolls[1].grey_kg, 23.125, 0, KIT_SRC);
    CHECK_NEAR(l.lot.weighed_kg, 0, 0, "contract: 0 when not weighed");
    CHECK_NEAR(l.lot.speed_m_per_min, 0, 0, "contract: 0 is the machine's fastest");
    assert_int_equal(l.lot.tubes_used, 0);
    assert_int_equal(l.lot.stage, MDR_LOT_READY);
    assert_int_equal(l.lot.due_utc_ms, INT64_C(1797292800000)); /* D: date -u -d 2026-12-15 +%s */
    assert_string_equal(l.machine_id, "J1");
    assert_string_equal(l.route_id, "R-MED");
    assert_int_equal(l.revision, 1);
}

static void an_unknown_lot_names_others(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lot_full l;
    assert_int_equal(mdr_mill_lot(f->mill, &f->masters, "L26-9", f->arena, &l, &err),
                     MDR_E_NOTFOUND);
    assert_string_equal(err.value, "L26-9");
    assert_string_equal(err.remedy, "lots there are: L26-0001, L26-0002, L26-0003");
}

static void lots_by_due_date_then_id(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lot_line *l;
    int n = 0;
    KIT_OK(mdr_mill_lots(f->mill, &f->masters, f->arena, &l, &n, &err), &err);
    assert_int_equal(n, 3);
    assert_string_equal(l[0].full.lot.lot_id, "L26-0002"); /* due in November */
    assert_string_equal(l[1].full.lot.lot_id, "L26-0001");
    assert_string_equal(l[2].full.lot.lot_id, "L26-0003");
    assert_null(l[1].full.lot.rolls);
    assert_int_equal(l[1].full.lot.n_rolls, 2);
    CHECK_NEAR(l[1].grey_kg, 45.625, 0, "D: 22.5 + 23.125");
    CHECK_NEAR(l[0].grey_kg, 19.9, 0, KIT_SRC);
    CHECK_NEAR(l[0].full.lot.weighed_kg, 118.4, 0, KIT_SRC);
}

/* Two of the three done, the last entered of them first. */
static void lots_in_parts(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lots_page p;
    KIT_OK(mdr_mill_sql_exec(
               f->mill, "UPDATE lot SET stage = 'done' WHERE lot_id IN ('L26-0001', 'L26-0003')",
               &err),
           &err);
    KIT_OK(mdr_mill_lots_some(f->mill, &f->masters, &(mdr_lots_ask){.most = 1}, f->arena, &p, &err),
           &err);
    assert_int_equal(p.n, 2);
    assert_int_equal(p.all, 3);
    assert_string_equal(p.lines[0].full.lot.lot_id, "L26-0002");
    assert_string_equal(p.lines[1].full.lot.lot_id, "L26-0003");
    CHECK_NEAR(p.lines[0].grey_kg, 19.9, 0, KIT_SRC);
    assert_string_equal(p.earlier, "L26-0003");
    const mdr_lots_ask next = {.before = p.earlier, .most = 1};
    KIT_OK(mdr_mill_lots_some(f->mill, &f->masters, &next, f->arena, &p, &err), &err);
    assert_int_equal(p.n, 1); /* what is not done was in the first part */
    assert_string_equal(p.lines[0].full.lot.lot_id, "L26-0001");
    assert_int_equal(p.lines[0].full.lot.n_rolls, 2);
    CHECK_NEAR(p.lines[0].grey_kg, 45.625, 0, "D: 22.5 + 23.125");
    assert_null(p.earlier);
    KIT_OK(mdr_mill_lots_some(f->mill, &f->masters, &(mdr_lots_ask){.most = 0}, f->arena, &p, &err),
           &err);
    assert_int_equal(p.n, 1);
    const mdr_lots_ask unknown = {.before = "L26-9", .most = 1};
    assert_int_equal(mdr_mill_lots_some(f->mill, &f->masters, &unknown, f->arena, &p, &err),
                     MDR_E_NOTFOUND);
    assert_string_equal(err.value, "L26-9");
}

static int found_by(const fixture *f, const char *words, mdr_lots_page *p)
{
    mdr_err err;
    KIT_OK(mdr_mill_lots_some(f->mill, &f->masters, &(mdr_lots_ask){.words = words, .most = 2},
                              f->arena, p, &err),
           &err);
    return p->n;
}

static void lots_by_their_words(void **state)
{
    const fixture *f = *state;
    mdr_lots_page p;
    assert_int_equal(found_by(f, "[\"l26-0001\"]", &p), 1);
    assert_string_equal(p.lines[0].full.lot.lot_id, "L26-0001");
    assert_int_equal(found_by(f, "[\"winch\",\"0002\"]", &p), 1); /* of machine and id */
    assert_int_equal(found_by(f, "[\"0001\",\"0002\"]", &p), 0);  /* each of them, in one lot */
    assert_int_equal(found_by(f, "[\"l26\"]", &p), 2);
    assert_string_equal(p.earlier, "L26-0002");
    assert_int_equal(found_by(f, "[\"%\"]", &p), 0); /* no pattern: the character itself */
}

static void orders_by_id(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_order *o;
    int n = 0;
    KIT_OK(mdr_mill_orders(f->mill, f->arena, &o, &n, &err), &err);
    assert_int_equal(n, 2);
    assert_string_equal(o[0].order_id, "O-1");
    assert_string_equal(o[1].article_id, "RIB");
    CHECK_NEAR(o[0].loss_pct, 6.5, 0, KIT_SRC);
}

/* Masters read before somebody added a shade and moved a lot's order to it. */
static void stale_masters_are_noticed(void **state)
{
    const fixture *f = *state;
    mdr_err err;
    mdr_lot_full l;
    mdr_lot_line *lines;
    int n;
    KIT_OK(mdr_mill_sql_exec(f->mill,
                             "INSERT INTO shade VALUES ('NEW', 'n', 'none', 0, 0, 0, 1000);"
                             "UPDATE customer_order SET shade_id = 'NEW' WHERE order_id = 'O-1'",
                             &err),
           &err);
    assert_int_equal(mdr_mill_lot(f->mill, &f->masters, "L26-0001", f->arena, &l, &err),
                     MDR_E_CONFLICT);
    assert_string_equal(err.place, "lot L26-0001");
    assert_int_equal(mdr_mill_lots(f->mill, &f->masters, f->arena, &lines, &n, &err),
                     MDR_E_CONFLICT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {T(masters_site_and_machine),
                                       T(masters_materials),
                                       T(masters_tables_and_recipes),
                                       T(an_empty_mill_has_empty_masters),
                                       T(a_lot_comes_with_all_it_refers_to),
                                       T(an_unknown_lot_names_others),
                                       T(lots_by_due_date_then_id),
                                       T(lots_in_parts),
                                       T(lots_by_their_words),
                                       T(orders_by_id),
                                       T(stale_masters_are_noticed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
