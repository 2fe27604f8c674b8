"""Tests of pieces that stand, stick in soil or are clipped on."""
