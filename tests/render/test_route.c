/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The router: wires keep out of obstacles, run at right angles from pin to pin, and what cannot be
 * laid is said to be lost and not drawn through.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>

#include "render/route.h"

static bp_route_end end_at(int x, int y, bp_side side, size_t pin) {
    return (bp_route_end){.x = x, .y = y, .side = side, .stub = 1, .pin = pin};
}

static void add(bp_router *router, bp_route_end a, bp_route_end b) {
    assert_true(bp_router_add(router, (bp_route_end[2]){a, b}));
}

/* From pin to pin, corner by corner along one axis at a time, off the boxes. */
static void check_wire(const bp_router *router, size_t wire, const bp_route_end *a,
                       const bp_route_end *b, const bp_box *boxes, size_t n_boxes) {
    const int(*corner)[2];
    size_t n = bp_router_path(router, wire, &corner);
    assert_true(n >= 2);
    assert_int_equal(corner[0][0], a->x);
    assert_int_equal(corner[0][1], a->y);
    assert_int_equal(corner[n - 1][1], b->y);
    if (b->rail)
        assert_in_range(corner[n - 1][0], b->x, b->x2);
    else
        assert_int_equal(corner[n - 1][0], b->x);
    for (size_t i = 0; i + 1 < n; i++) {
        bool level = corner[i][1] == corner[i + 1][1], upright = corner[i][0] == corner[i + 1][0];
        assert_true(level != upright);
        double x1 = corner[i][0] < corner[i + 1][0] ? corner[i][0] : corner[i + 1][0];
        double x2 = corner[i][0] + corner[i + 1][0] - x1;
        double y1 = corner[i][1] < corner[i + 1][1] ? corner[i][1] : corner[i + 1][1];
        double y2 = corner[i][1] + corner[i + 1][1] - y1;
        for (size_t k = 0; k < n_boxes; k++) {
            const bp_box *box = &boxes[k];
            if (x1 < box->x + box->w && x2 > box->x && y1 < box->y + box->h && y2 > box->y)
                fail_msg("wire %zu runs through box %zu", wire, k);
        }
    }
}

static void test_goes_round_a_wall(void **state) {
    (void)state;
    bp_router *router = bp_router_new(30, 30);
    bp_box wall = {5, 14, 20, 2};
    bp_router_block(router, wall);
    bp_route_end a = end_at(15, 5, BP_BOTTOM, 1), b = end_at(15, 25, BP_TOP, 2);
    add(router, a, b);
    assert_int_equal(bp_router_run(router), 0);
    check_wire(router, 0, &a, &b, &wall, 1);
    bp_router_free(&router);
}

static void test_straight_when_nothing_is_in_the_way(void **state) {
    (void)state;
    bp_router *router = bp_router_new(20, 20);
    add(router, end_at(10, 2, BP_BOTTOM, 1), end_at(10, 18, BP_TOP, 2));
    assert_int_equal(bp_router_run(router), 0);
    const int(*corner)[2];
    assert_int_equal(bp_router_path(router, 0, &corner), 2);
    bp_router_free(&router);
}

/* A pin walled in on all sides: no way, and nothing drawn. The other wire is laid all the same. */
static void test_impossible_is_reported(void **state) {
    (void)state;
    bp_router *router = bp_router_new(40, 40);
    const bp_box walls[] = {{2, 2, 10, 1}, {2, 11, 10, 1}, {2, 2, 1, 10}, {11, 2, 1, 10}};
    for (size_t i = 0; i < 4; i++)
        bp_router_block(router, walls[i]);
    bp_route_end c = end_at(20, 5, BP_BOTTOM, 3), d = end_at(30, 30, BP_TOP, 4);
    add(router, end_at(7, 6, BP_BOTTOM, 1), end_at(30, 20, BP_TOP, 2));
    add(router, c, d);
    assert_int_equal(bp_router_run(router), 1);
    const int(*corner)[2];
    assert_int_equal(bp_router_path(router, 0, &corner), 0);
    check_wire(router, 1, &c, &d, walls, 4);
    bp_router_free(&router);
}

static void test_wires_of_one_pin_part_at_a_joint(void **state) {
    (void)state;
    bp_router *router = bp_router_new(40, 40);
    bp_route_end top = end_at(20, 5, BP_BOTTOM, 1);
    add(router, top, end_at(10, 30, BP_TOP, 2));
    add(router, top, end_at(30, 30, BP_TOP, 3));
    assert_int_equal(bp_router_run(router), 0);
    int joints[8][2];
    assert_int_equal(bp_router_joints(router, joints, 8), 1);
    bp_router_free(&router);
}

/* Two wires of different pins that must cross do so once, without a joint. */
static void test_crossing_is_no_joint(void **state) {
    (void)state;
    bp_router *router = bp_router_new(40, 40);
    /* Walls leave one row to cross in. */
    bp_router_block(router, (bp_box){0, 0, 40, 3});
    bp_router_block(router, (bp_box){0, 36, 40, 3});
    add(router, end_at(5, 20, BP_RIGHT_SIDE, 1), end_at(35, 20, BP_LEFT_SIDE, 2));
    add(router, end_at(20, 5, BP_BOTTOM, 3), end_at(20, 35, BP_TOP, 4));
    assert_int_equal(bp_router_run(router), 0);
    int joints[8][2];
    assert_int_equal(bp_router_joints(router, joints, 8), 0);
    assert_int_equal(bp_router_crossings(router), 1);
    bp_router_free(&router);
}

static void test_reaches_a_rail_anywhere(void **state) {
    (void)state;
    bp_router *router = bp_router_new(40, 30);
    bp_route_end pin = end_at(12, 20, BP_TOP, 1);
    bp_route_end rail = {.rail = true, .x = 2, .x2 = 38, .y = 3, .pin = 9};
    add(router, pin, rail);
    assert_int_equal(bp_router_run(router), 0);
    check_wire(router, 0, &pin, &rail, NULL, 0);
    const int(*corner)[2];
    assert_int_equal(bp_router_path(router, 0, &corner), 2);
    bp_router_free(&router);
}

/* Made fields of parts: a row of boxes with pins above and below, wired across each other. */
static void check_field(unsigned seed) {
    enum { BOXES = 12 };
    bp_router *router = bp_router_new(90, 70);
    bp_box boxes[BOXES];
    bp_route_end ends[BOXES][2];
    for (size_t i = 0; i < BOXES; i++) {
        double x = 5 + 20 * (double)(i % 4) + (double)(rand_r(&seed) % 5);
        double y = 8 + 20 * (double)(i / 4) + (double)(rand_r(&seed) % 4);
        boxes[i] = (bp_box){x, y, 4 + (double)(rand_r(&seed) % 5), 4};
        bp_router_block(router, boxes[i]);
        ends[i][0] = end_at((int)x + 2, (int)y + 4, BP_BOTTOM, 2 * i);
        ends[i][1] = end_at((int)x + 2, (int)y, BP_TOP, 2 * i + 1);
    }
    size_t pair[BOXES][2];
    for (size_t i = 0; i < BOXES; i++) {
        pair[i][0] = i;
        pair[i][1] = ((size_t)rand_r(&seed) % (BOXES - 1) + 1 + i) % BOXES;
        add(router, ends[pair[i][0]][0], ends[pair[i][1]][1]);
    }
    assert_int_equal(bp_router_run(router), 0);
    for (size_t i = 0; i < BOXES; i++)
        check_wire(router, i, &ends[pair[i][0]][0], &ends[pair[i][1]][1], boxes, BOXES);
    bp_router_free(&router);
}

static void test_fields_of_parts(void **state) {
    (void)state;
    for (unsigned seed = 1; seed <= 12; seed++)
        check_field(seed);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_goes_round_a_wall),
        cmocka_unit_test(test_straight_when_nothing_is_in_the_way),
        cmocka_unit_test(test_impossible_is_reported),
        cmocka_unit_test(test_wires_of_one_pin_part_at_a_joint),
        cmocka_unit_test(test_crossing_is_no_joint),
        cmocka_unit_test(test_reaches_a_rail_anywhere),
        cmocka_unit_test(test_fields_of_parts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
